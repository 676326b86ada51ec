"""One station at one time in standard units, with a verdict on every reading.

One wide row per station and time: a value and a mark for each variable of the catalogue. The narrow
alternative (a row per reading) took six to eight times the space and was slower at everything.
"""

from django.db import models

from network.models.fields import RealField, wide
from network.science.variables import VARIABLES
from stations.models import Station

VALUES = tuple(VARIABLES)
MARKS = tuple(f"{name}_mark" for name in VARIABLES)


class Observation(models.Model):
    """A wide row. A value is NULL where there is none; a mark is NULL where the station does not measure it.

    A mark holds the verdict in its three low bits (BUFR code table 0 33 020) and above them one bit for
    each check that spoke; ``network.quality.verdict`` reads it.
    """

    pk = models.CompositePrimaryKey("station_id", "observed_at")
    station = models.ForeignKey(
        Station, on_delete=models.CASCADE, related_name="observations", db_index=False
    )
    observed_at = models.BigIntegerField(help_text="End of the period measured (UTC epoch seconds).")
    said_twice = models.IntegerField(
        default=0, help_text="One bit for each variable of which the station said two different values."
    )
    wide(vars(), {name: RealField(null=True) for name in VALUES})
    wide(vars(), {mark: models.BigIntegerField(null=True) for mark in MARKS})

    class Meta:
        ordering = ["observed_at"]

    def __str__(self) -> str:
        return f"{self.station} at {self.observed_at}"
