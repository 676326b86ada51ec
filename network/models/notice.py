"""A message to a keeper."""

from django.db import models

from network.models.decision import Decision
from stations.models import Station


class Notice(models.Model):
    """One message about one station: at most one a day for each cause."""

    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="notices")
    cause = models.CharField(max_length=80, help_text="What it is about; the same cause is told once a day.")
    day = models.DateField(help_text="The village day it belongs to.")
    words = models.TextField()
    question = models.ForeignKey(
        Decision,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="notices",
        help_text="The steward's question, where it is one.",
    )
    made_at = models.DateTimeField(auto_now_add=True)
    sent_at = models.DateTimeField(null=True, blank=True, help_text="When it went out by e-mail.")
    read_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["station", "cause", "day"], name="notice_once_a_day_for_each_cause"
            )
        ]

    def __str__(self) -> str:
        return self.words
