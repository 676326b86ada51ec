"""Which stations go to which household."""

from typing import Any

from django import forms

from stations.models import Household, Station


class HandOverForm(forms.Form):
    """Stations of one household, for another of its village."""

    stations = forms.ModelMultipleChoiceField(
        Station.objects.none(),
        label="Which stations?",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one station."},
    )
    to = forms.ModelChoiceField(
        Household.objects.none(),
        label="To which household?",
        widget=forms.RadioSelect,
        empty_label=None,
        error_messages={"required": "Choose a household.", "invalid_choice": "Choose one of those listed."},
    )

    def __init__(self, *args: Any, household: Household, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        stations = household.stations.all()
        self.fields["stations"].queryset = stations
        self.fields["stations"].initial = stations.exclude(state=Station.State.RETIRED)
        others = household.village.households.exclude(pk=household.pk)
        self.fields["to"].queryset = others.filter(memberships__person__is_active=True).distinct()

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if (to := said.get("to")) and (chosen := said.get("stations")):
            taken = set(to.stations.values_list("name", flat=True)) & {one.name for one in chosen}
            if taken:
                self.add_error(
                    "stations",
                    f"{to} already has a station called {sorted(taken)[0]}: rename one of them first.",
                )
        return said
