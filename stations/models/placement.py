"""Where a station stood, from when to when."""

from django.db import models
from django.db.models import Q

from stations.models.period import Period, ends_after_it_begins, one_at_a_time
from stations.models.station import Station

ROUNDED_TO = 0.002
"""[deg] About 200 m of latitude: what 'rounded' shows of a place."""


class Placement(Period):
    """Where a station stood, from when to when. Moving it ends one and begins the next."""

    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="placements")
    latitude = models.FloatField(help_text="Degrees north, WGS 84.")
    longitude = models.FloatField(help_text="Degrees east, WGS 84.")
    elevation = models.FloatField(help_text="Metres of the ground above mean sea level.")

    class Meta:
        ordering = ["begins_at"]
        constraints = [
            ends_after_it_begins("placement"),
            one_at_a_time("placement", "station", "The station already stands somewhere. End that first."),
            models.CheckConstraint(
                condition=Q(latitude__range=(-90, 90)),
                name="placement_latitude_on_earth",
                violation_error_message="Latitude runs from −90 to 90. Are the two swapped?",
            ),
            models.CheckConstraint(
                condition=Q(longitude__range=(-180, 180)),
                name="placement_longitude_on_earth",
                violation_error_message="Longitude runs from −180 to 180.",
            ),
            models.CheckConstraint(
                condition=Q(elevation__range=(-450, 9000)),
                name="placement_elevation_on_earth",
                violation_error_message="The ground lies between −450 and 9000 m. Is the elevation in metres?",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.station} at {self.latitude:.4f}, {self.longitude:.4f}"

    @property
    def public_place(self) -> tuple[float, float] | None:
        """Latitude and longitude as the household lets others see them; None when hidden."""
        if self.station.shown == Station.Shown.HIDDEN:
            return None
        if self.station.shown == Station.Shown.EXACT:
            return self.latitude, self.longitude
        return self.rounded_place

    @property
    def rounded_place(self) -> tuple[float, float]:
        """Latitude and longitude to about 200 m."""
        return _rounded(self.latitude), _rounded(self.longitude)


def _rounded(degrees: float) -> float:
    return round(round(degrees / ROUNDED_TO) * ROUNDED_TO, 6)
