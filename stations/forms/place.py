"""Where a station stands, how high, and who may see it."""

from typing import Any

from django import forms

from stations.forms.fields import Choice, Figure, Moment, this_morning
from stations.ground import proposed_elevation
from stations.life import counted
from stations.models import Ground, Placement, Station, Village

DEGREES = ("latitude", "longitude")
DECIMALS = 5
"""Of a degree: about a metre."""


class PlaceForm(forms.Form):
    """A placement, and how it is shown."""

    latitude = Figure(
        label="Latitude", help_text="Degrees north, five decimals if you can: they are a metre."
    )
    longitude = Figure(label="Longitude", help_text="Degrees east; west of Greenwich it is negative.")
    elevation = Figure(
        label="Elevation of the ground",
        help_text="Metres above mean sea level, from a good map. A barometer needs it to the metre.",
    )
    since = Moment(label="Since when does it stand there?")
    shown = Choice(
        choices=[(value, f"{label[0].upper()}{label[1:]}") for value, label in Station.Shown.choices],
        label="How may others see where it stands?",
        help_text="Its keepers and the steward always see the exact place. A map is drawn from the place as others see it.",
    )

    def __init__(self, *args: Any, station: Station, **kwargs: Any) -> None:
        self.station = station
        self.placement: Placement | None = station.placements.current().first()
        kwargs["initial"] = self._present() | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)
        if Ground.objects.elevation(station.village):
            self.fields["elevation"].required = False
            self.fields["elevation"].help_text = (
                "Metres above mean sea level, from a good map; left empty, the village’s terrain says it. "
                "A barometer needs it to the metre."
            )
        if self.placement is None:
            self.fields["since"].initial = this_morning
            self.fields[
                "since"
            ].help_text = "Readings from before are kept and not used: better too early than too late."
        if self.placement and counted(station):
            self.fields["since"].label = "Since when, if it moved?"
            self.fields[
                "since"
            ].help_text = (
                "A move begins a new chapter: readings until then keep the place they were taken at."
            )

    def _present(self) -> dict[str, Any]:
        present = {"shown": self.station.shown}
        if self.placement:
            present |= {name: f"{getattr(self.placement, name):.{DECIMALS}f}" for name in DEGREES}
            present["elevation"] = self.placement.elevation
            if not counted(self.station):
                present["since"] = self.placement.begins_at
        return present

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        for name in DEGREES:
            kept = getattr(self.placement, name, None)
            if kept is not None and said.get(name) == round(kept, DECIMALS):
                said[name] = kept  # left as it was shown: no move
        latitude, longitude = (said.get(name) for name in DEGREES)
        if latitude is not None and longitude is not None:
            self._check_inside(self.station.village, latitude, longitude)
            if said.get("elevation") is None and "elevation" not in self.errors:
                said["elevation"] = proposed_elevation(self.station.village, latitude, longitude)
        return said

    def _check_inside(self, village: Village, latitude: float, longitude: float) -> None:
        if _inside(village, latitude, longitude):
            return
        hint = "Are the two swapped?" if _inside(village, longitude, latitude) else "Look at both again."
        self.add_error(
            "latitude",
            f"That lies outside the map of {village.name}, which runs from {village.south:.3f} to "
            f"{village.north:.3f} north and from {village.west:.3f} to {village.east:.3f} east. {hint}",
        )


def _inside(village: Village, latitude: float, longitude: float) -> bool:
    return village.south <= latitude <= village.north and village.west <= longitude <= village.east
