"""Whose station it is and what it is called."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from stations.forms.fields import Words
from stations.models import Household, Station


class NameForm(forms.ModelForm):
    """What the station is called."""

    name = Words(
        max_length=60,
        label="What is the station called?",
        help_text="What neighbours will read, such as Garden or Hill barn.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    class Meta:
        model = Station
        fields = ["name"]

    def clean_name(self) -> str:
        name, station = self.cleaned_data["name"], self.instance
        if station.pk and station.household.stations.exclude(pk=station.pk).filter(name=name).exists():
            raise ValidationError("This household already has a station of this name.")
        return name


class NewStationForm(NameForm):
    """The first question: the name, and for those who speak for several households, which."""

    household = forms.ModelChoiceField(
        Household.objects.none(),
        label="At which household does it stand?",
        empty_label=None,
        error_messages={"invalid_choice": "Choose one of the households listed."},
    )

    class Meta:
        model = Station
        fields = ["name", "household"]

    def __init__(self, *args: Any, person: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        mine = Household.objects.kept_by(person).select_related("village")
        own = mine.filter(memberships__person=person).first()
        field = self.fields["household"]
        field.queryset, field.initial = mine, own
        if len(mine) == 1:
            field.widget = forms.HiddenInput()
