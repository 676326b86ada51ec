"""What a check saw, one row per unbroken run of readings it spoke about."""

from django.db import models

from stations.models import Station


class Evidence(models.Model):
    """A run of readings of one variable about which one check spoke, within one block of time."""

    pk = models.CompositePrimaryKey("station_id", "variable", "check_name", "begins_at")
    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="evidence", db_index=False)
    variable = models.CharField(max_length=32)
    check_name = models.CharField(max_length=32)
    begins_at = models.BigIntegerField(help_text="The first reading (UTC epoch seconds).")
    ends_at = models.BigIntegerField(help_text="The last reading (UTC epoch seconds).")
    readings = models.PositiveIntegerField()
    verdict = models.PositiveSmallIntegerField(help_text="The worst verdict in the run (BUFR 0 33 020).")
    strain = models.FloatField(help_text="The strongest contradiction, as a multiple of the tolerance.")
    observed = models.FloatField(null=True, help_text="The reading where it was strongest.")
    expected = models.FloatField(null=True)
    tolerance = models.FloatField(null=True)
    hint = models.CharField(max_length=60, blank=True, help_text="What would explain it, such as a unit.")

    class Meta:
        indexes = [models.Index(fields=["station", "begins_at"], name="evidence_by_time")]

    def __str__(self) -> str:
        return f"{self.check_name} on {self.variable} of {self.station}"
