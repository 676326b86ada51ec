"""What a steward fills in: a decision about a case, a decision about a station."""

from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django import forms

from network.models import Case, Decision
from network.pipeline.decisions import ABOUT_CASES
from network.science.units import convert, sign, units_for
from network.science.variables import VARIABLES

Kind = Decision.Kind


class CaseForm(forms.Form):
    """One decision about one case; the offset is given in the unit the variable is shown in."""

    kind = forms.ChoiceField(
        choices=[(kind.value, kind.label) for kind in ABOUT_CASES],
        error_messages={
            "required": "Choose one of the sentences.",
            "invalid_choice": "Choose one of the sentences.",
        },
    )
    unit = forms.ChoiceField(required=False)
    offset = forms.FloatField(
        required=False,
        min_value=-1e4,
        max_value=1e4,
        error_messages={"invalid": "Write the amount as a figure, such as -0.8."},
    )
    reason = forms.CharField(
        required=False,
        max_length=300,
        error_messages={"max_length": "Say it in 300 characters; the trail is read by people."},
    )

    def __init__(self, case: Case, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.variable = VARIABLES[case.variable]
        self.fields["unit"].choices = [("", "")] + [(u, sign(u)) for u in units_for(self.variable)]

    def given(self) -> dict[str, Any]:
        """What goes with the kind, as ``decisions.settle`` wants it."""
        kind, offset = self.cleaned_data["kind"], self.cleaned_data["offset"]
        if kind == Kind.CHANGE_UNIT:
            return {"unit": self.cleaned_data["unit"]}
        if kind == Kind.CALIBRATE:
            shift = convert([offset or 0.0, 0.0], self.variable.shown_unit, self.variable.unit)
            return {"offset": round(float(shift[0] - shift[1]), 9)}
        return {}


class StationForm(forms.Form):
    """One decision about a station's life."""

    kind = forms.ChoiceField(
        choices=[
            (kind.value, kind.label) for kind in (Kind.APPROVE, Kind.SEND_BACK, Kind.PAUSE, Kind.RETIRE)
        ],
        error_messages={
            "required": "Choose one of the sentences.",
            "invalid_choice": "Choose one of the sentences.",
        },
    )
    since = forms.DateField(required=False, error_messages={"invalid": "Write the day as 2026-11-25."})
    reason = forms.CharField(
        required=False, max_length=300, error_messages={"max_length": "Say it in 300 characters."}
    )

    def counts_from(self, default: datetime | None, zone: ZoneInfo) -> datetime | None:
        """The beginning of the day given, or the default where that is the same day."""
        day: date | None = self.cleaned_data["since"]
        if day is None or (default is not None and day == default.astimezone(zone).date()):
            return default
        return datetime.combine(day, time(), zone)
