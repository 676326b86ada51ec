"""What hides the sun from a station, as its light sensor has seen it in some weeks."""

from django.db import models

from stations.models import Station


class Skyline(models.Model):
    """The horizon by 72 bins of azimuth; ``network.science.skyline`` says how it is learnt."""

    pk = models.CompositePrimaryKey("station_id", "spell")
    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="skylines", db_index=False)
    spell = models.BigIntegerField(help_text="Beginning of the days looked at (UTC epoch seconds).")
    horizon = models.JSONField(
        help_text="Degrees by bin of azimuth from north by east; null where the sun never was."
    )

    def __str__(self) -> str:
        return f"Skyline of {self.station}, spell {self.spell}"
