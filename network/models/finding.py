"""What the long run found, cut to the days it was looked for in."""

from django.db import models

from stations.models import Station


class Finding(models.Model):
    """A fault of a station that only weeks show; ``network.quality.finding`` says what the figures mean."""

    pk = models.CompositePrimaryKey("station_id", "variable", "check_name", "begins_at")
    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="findings", db_index=False)
    variable = models.CharField(max_length=32, blank=True, help_text="Empty: the station as a whole.")
    check_name = models.CharField(max_length=32)
    spell = models.BigIntegerField(help_text="Beginning of the days looked at (UTC epoch seconds).")
    begins_at = models.BigIntegerField(help_text="Readings after it are affected (UTC epoch seconds).")
    ends_at = models.BigIntegerField(help_text="The last reading affected (UTC epoch seconds).")
    strain = models.FloatField()
    size = models.FloatField()
    error = models.FloatField()
    hint = models.CharField(max_length=60, blank=True)

    class Meta:
        indexes = [models.Index(fields=["station", "spell"], name="finding_by_spell")]

    def __str__(self) -> str:
        return f"{self.check_name} on {self.variable or 'all'} of {self.station}"
