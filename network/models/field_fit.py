"""How a village maps one variable in a part of the day, as the days before taught it."""

from django.db import models

from network.science.variables import MAPPED, VARIABLES
from stations.models import Village


class FieldFit(models.Model):
    """What one spell's maps are made by; where there is none, the catalogue's field is believed.

    Made again from observations and metadata. ``network.spatial.learnt.Learnt`` says what the figures mean.
    """

    class Part(models.TextChoices):
        DAY = "day", "while the sun is up"
        NIGHT = "night", "while the sun is down"
        ALL = "all", "at all hours"

    pk = models.CompositePrimaryKey("village_id", "variable", "part", "begins_at")
    village = models.ForeignKey(Village, on_delete=models.CASCADE, related_name="fits", db_index=False)
    variable = models.CharField(max_length=32, choices=[(name, VARIABLES[name].words) for name in MAPPED])
    part = models.CharField(max_length=5, choices=Part)
    begins_at = models.BigIntegerField(
        help_text="Beginning of the days it is for, learnt from those before (UTC epoch seconds)."
    )
    fields = models.JSONField(
        help_text="[field, nugget] of each that explains the values; maps are their mean. The first is the likeliest."
    )
    widening = models.FloatField(help_text="Standard errors as a multiple of what the field says.")
    steadiness = models.FloatField(null=True, help_text="Empty: intervals do not follow the hour.")
    root = models.PositiveSmallIntegerField(help_text="Amounts are mapped as this root of them.")
    slope = models.FloatField(help_text="Of that root at a usual amount.")
    method = models.CharField(max_length=16, help_text="The plainest that served best.")
    rmse = models.JSONField(
        help_text="Leaving one station out: by kriging, by inverse distance, by the village mean."
    )
    frames = models.PositiveIntegerField(help_text="From how many frames it was learnt.")

    class Meta:
        ordering = ["begins_at"]

    def __str__(self) -> str:
        return f"{self.variable} ({self.get_part_display()}) of {self.village} from {self.begins_at}"
