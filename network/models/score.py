"""How a station has done, as of the end of a spell of days."""

from django.db import models

from stations.models import Station


class Score(models.Model):
    """One variable of one station; ``network.quality.scorecard`` says what the figures mean."""

    pk = models.CompositePrimaryKey("station_id", "variable", "spell")
    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="scores", db_index=False)
    variable = models.CharField(max_length=32)
    spell = models.BigIntegerField(
        help_text="Beginning of the days at whose end it stands (UTC epoch seconds)."
    )
    bias = models.FloatField()
    bias_error = models.FloatField(null=True)
    expected_error = models.FloatField(null=True)
    random_error = models.FloatField(null=True, help_text="Empty: too small to be told from none.")
    low = models.FloatField(null=True)
    high = models.FloatField(null=True)
    frames = models.PositiveIntegerField()
    independent = models.FloatField(help_text="How many independent frames they are worth.")
    method = models.CharField(max_length=12, help_text="Of the random error.")

    class Meta:
        ordering = ["spell"]

    def __str__(self) -> str:
        return f"{self.variable} of {self.station}, spell {self.spell}"
