"""How far each station departs from what its neighbours lead one to expect."""

from django.db import models

from network.models.fields import RealField, wide
from network.science.variables import MAPPED
from stations.models import Station

DEPARTURES = MAPPED
ERRORS = tuple(f"{name}_error" for name in MAPPED)


class Comparison(models.Model):
    """One station at one frame: observed minus expected, and the standard error of what was expected."""

    pk = models.CompositePrimaryKey("station_id", "at")
    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="comparisons", db_index=False)
    at = models.BigIntegerField(help_text="End of the ten minutes compared (UTC epoch seconds).")
    wide(vars(), {name: RealField(null=True) for name in DEPARTURES})
    wide(vars(), {name: RealField(null=True) for name in ERRORS})

    class Meta:
        ordering = ["at"]

    def __str__(self) -> str:
        return f"{self.station} against its neighbours at {self.at}"
