"""How a station's times are to be understood, and how often it reports."""

from typing import Any

from django import forms

from stations.forms.fields import Choice, Moment, Words
from stations.life import counted
from stations.models import Clock, Station
from stations.models.village import known_zone
from stations.paces import PACES, pace

OTHER = "other"


class ClockForm(forms.Form):
    """Zone, stamp and interval."""

    report_every = forms.TypedChoiceField(
        coerce=int, label="How often does it report?", widget=forms.RadioSelect
    )
    zone = Choice(label="Which clock do its times follow?")
    other_zone = Words(
        required=False,
        label="The other zone",
        help_text="Such as Europe/Berlin. Only if you chose another zone above.",
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}
        ),
    )
    stamps = Choice(
        label="A reading stands for some minutes. Which moment does its time mark?",
        choices=[
            (Clock.Stamps.END, "Their end, or simply when it was sent"),
            (Clock.Stamps.START, "Their beginning"),
        ],
    )

    def __init__(self, *args: Any, station: Station, **kwargs: Any) -> None:
        self.clock = station.clocks.current().first()
        zones = self._zones(station.village.zone)
        kwargs["initial"] = self._present(station) | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)
        self.fields["zone"].choices = list(zones.items())
        present = {} if station.report_every in PACES else {station.report_every: pace(station.report_every)}
        self.fields["report_every"].choices = list((present | PACES).items())
        if self.clock and counted(station):
            self.fields["since"] = Moment(
                label="Since when, if its times changed?",
                help_text="Readings until then keep the clock of their day.",
            )

    def _zones(self, village_zone: str) -> dict[str, str]:
        zones = {
            "UTC": "It sends no times, or UTC, or an offset with each time",
            village_zone: f"The village's own, with summer time ({village_zone})",
        }
        if self.clock:
            zones.setdefault(self.clock.zone, self.clock.zone)
        return zones | {OTHER: "Another zone"}

    def _present(self, station: Station) -> dict[str, Any]:
        zone, stamps = (self.clock.zone, self.clock.stamps) if self.clock else ("UTC", Clock.Stamps.END)
        return {"zone": zone, "stamps": stamps, "report_every": station.report_every}

    def clean_other_zone(self) -> str:
        zone = self.cleaned_data["other_zone"].strip()
        if self.cleaned_data.get("zone") == OTHER:
            known_zone(zone)
        return zone

    def clock_fields(self) -> dict[str, str]:
        """The clock's fields."""
        said = self.cleaned_data
        zone = said["other_zone"] if said["zone"] == OTHER else said["zone"]
        return {"zone": zone, "stamps": said["stamps"]}
