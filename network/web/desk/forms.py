"""What a steward fills in: a decision about a case, a decision about a station."""

from datetime import UTC, date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.validators import MinValueValidator

from network.models import Case, Decision
from network.pipeline.verbs.decisions import ABOUT_CASES
from network.science.units import convert, sign, units_for
from network.science.variables import VARIABLES
from stations.forms.fields import Figure
from stations.models import Ground

Kind = Decision.Kind

TIME = "Write the time as 2026-11-25T14:20."

OF_OUR_TIME = MinValueValidator(datetime(1970, 1, 2, tzinfo=UTC), "Choose a time after 1970.")

WITH_PREPARED = (Kind.REJECT, Kind.SET_ASIDE, Kind.ASK)
"""The decisions that the words prepared for the keeper go with: they say what is wrong and what to look at."""


class CaseForm(forms.Form):
    """One decision about one case; the offset is given in the unit the variable is shown in, times in the village's."""

    kind = forms.ChoiceField(
        choices=[(kind.value, kind.label) for kind in ABOUT_CASES],
        error_messages={
            "required": "Choose one of the sentences.",
            "invalid_choice": "Choose one of the sentences.",
        },
    )
    unit = forms.ChoiceField(
        required=False, error_messages={"invalid_choice": "Choose one of the units in the list."}
    )
    offset = Figure(
        required=False,
        min_value=-1e4,
        max_value=1e4,
        error_messages={"invalid": "Write the amount as a figure, such as -0.8."},
    )
    minutes = Figure(
        required=False,
        min_value=-720,
        max_value=720,
        error_messages={
            "invalid": "Write the minutes as a figure, such as 60 or -20.",
            "min_value": "More than twelve hours is a wrong date: its keeper must set the clock.",
            "max_value": "More than twelve hours is a wrong date: its keeper must set the clock.",
        },
    )
    begins = forms.DateTimeField(required=False, error_messages={"invalid": TIME}, validators=[OF_OUR_TIME])
    ends = forms.DateTimeField(required=False, error_messages={"invalid": TIME}, validators=[OF_OUR_TIME])
    for_all = forms.BooleanField(required=False)
    reason = forms.CharField(
        required=False,
        max_length=300,
        error_messages={"max_length": "Say it in 300 characters; the trail is read by people."},
    )
    prepared = forms.CharField(required=False)

    def __init__(self, case: Case, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.case = case
        self.variable = VARIABLES.get(case.variable)
        if self.variable is not None:
            self.fields["unit"].choices = [("", "")] + [(u, sign(u)) for u in units_for(self.variable)]

    def words(self) -> str:
        """The steward's own words, or those prepared where they go with what was decided."""
        written = self.cleaned_data["reason"].strip()
        untouched = written == self.cleaned_data["prepared"].strip()
        return "" if untouched and self.cleaned_data["kind"] not in WITH_PREPARED else written

    def given(self) -> dict[str, Any]:
        """What goes with the kind, as ``decisions.settle`` wants it."""
        kind, offset = self.cleaned_data["kind"], self.cleaned_data["offset"]
        if kind == Kind.CHANGE_UNIT:
            return {"unit": self.cleaned_data["unit"]}
        if kind == Kind.FIX_CLOCK:
            return {"fast_by": round(60 * (self.cleaned_data["minutes"] or 0))}
        if kind == Kind.CALIBRATE and self.variable is not None:
            shift = convert([offset or 0.0, 0.0], self.variable.shown_unit, self.variable.unit)
            return {"offset": round(float(shift[0] - shift[1]), 9)}
        return {}

    def span(self) -> tuple[int, int] | None:
        """The readings meant [UTC epoch s]; None where they are all of the case, whose ends are told to the minute."""
        own = self.case.begins_at, self.case.ends_at
        given = self.cleaned_data["begins"], self.cleaned_data["ends"]
        begins_at, ends_at = (_second(moment, at) for moment, at in zip(given, own, strict=True))
        return None if (begins_at, ends_at) == own else (begins_at, ends_at)


def _second(moment: datetime | None, own: int) -> int:
    """The second meant by a moment that is given to the minute, where ``own`` is what it stood for."""
    if moment is None or int(moment.timestamp()) // 60 == own // 60:
        return own
    return int(moment.timestamp())


class GroundForm(forms.Form):
    """A file that says how the ground lies."""

    kind = forms.ChoiceField(
        label="What does it say?",
        choices=Ground.Kind.choices,
        error_messages={"required": "Choose what it says.", "invalid_choice": "Choose one of those listed."},
    )
    file = forms.FileField(
        label="The file",
        help_text="Heights, tree cover in % and distance to water in m: a GeoTIFF or an ESRI ASCII grid, 64 MB at "
        "most. Outline, streets and water: GeoJSON, 8 MB at most.",
        error_messages={"required": "Choose a file.", "empty": "The file is empty."},
    )
    credit = forms.CharField(
        label="Whose work is it?",
        max_length=200,
        help_text="As its publisher wants it named, with the licence. It stands under every map.",
        error_messages={"required": "Say whose work it is; nearly every publisher asks for that."},
    )
    epsg = forms.IntegerField(
        label="EPSG number of its coordinate system",
        required=False,
        min_value=1024,
        max_value=999_999,
        help_text="Only for a raster that does not say so itself, as an ASCII grid never does.",
        error_messages=dict.fromkeys(
            ("invalid", "min_value", "max_value"), "Write the number alone, such as 4326 or 2056."
        ),
    )


class MaintenanceForm(forms.Form):
    """From when to when somebody was at work on a station, in the village's time."""

    begins = forms.DateTimeField(error_messages={"invalid": TIME, "required": TIME})
    ends = forms.DateTimeField(error_messages={"invalid": TIME, "required": TIME})
    work = forms.CharField(
        required=False, max_length=300, error_messages={"max_length": "Say it in 300 characters."}
    )

    def span(self) -> tuple[int, int]:
        """[UTC epoch s]"""
        return int(self.cleaned_data["begins"].timestamp()), int(self.cleaned_data["ends"].timestamp())


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
