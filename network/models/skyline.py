"""What hides the sun from a station, as its light sensor has seen it in some weeks."""

from django.db import models

from stations.models import Station


class Skyline(models.Model):
    """The horizon by 72 bins of azimuth; ``network.science.skyline`` says how it is learnt."""

    pk = models.CompositePrimaryKey("station_id", "spell")
    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="skylines", db_index=False)
    spell = models.BigIntegerField(help_text="Beginning of the days looked at (UTC epoch seconds).")
    since = models.BigIntegerField(
        help_text="The first moment it was learnt from (UTC epoch seconds): it belongs to the place of then."
    )
    horizon = models.JSONField(
        help_text="Degrees by bin of azimuth from north by east; null where the sun never was."
    )
    moments = models.JSONField(help_text="How many moments with a clear sky say so, by bin.")

    def __str__(self) -> str:
        return f"Skyline of {self.station}, spell {self.spell}"
