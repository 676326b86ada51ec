"""An hour or a village day of one variable at one station, with the counts behind every figure."""

from django.db import models

from network.models.fields import RealField
from stations.models import Station


class Summary(models.Model):
    """Made from good readings only; ``good`` of ``reports`` says on how many it stands."""

    class Span(models.TextChoices):
        HOUR = "hour", "hour (UTC)"
        DAY = "day", "day (village time)"

    pk = models.CompositePrimaryKey("station_id", "span", "begins_at", "variable")
    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="summaries", db_index=False)
    span = models.CharField(max_length=4, choices=Span)
    begins_at = models.BigIntegerField(help_text="Its beginning (UTC epoch seconds).")
    variable = models.CharField(max_length=32)
    mean = RealField(null=True, help_text="NULL when fewer than two thirds of the readings are good.")
    low = RealField(null=True)
    high = RealField(null=True)
    total = RealField(null=True, help_text="Of amounts only.")
    good = models.PositiveIntegerField(help_text="Good readings.")
    reports = models.PositiveIntegerField(help_text="Readings of any verdict.")

    class Meta:
        ordering = ["begins_at"]

    def __str__(self) -> str:
        return f"{self.variable}, {self.span} from {self.begins_at}"
