"""What a steward decided: the audit trail, and an input of every rebuild."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from stations.models import Station

WITH_IT = {"wind_speed": ("wind_gust",)}
"""What comes from the same instrument: a decision about the first is about the others too."""


class DecisionQuerySet(models.QuerySet):
    """Decisions that still hold."""

    def standing(self) -> Self:
        return self.filter(undone_at=None)

    def touching(self, begins_at: int, ends_at: int) -> Self:
        """Those about readings between the two times [UTC epoch s]."""
        return self.filter(begins_at__lt=ends_at, ends_at__gte=begins_at)


class Decision(models.Model):
    """One decision over one span of one station. It is never deleted; undoing it is written down too."""

    class Kind(models.TextChoices):
        KEEP = "keep", "the verdict stands"
        BELIEVE = "believe", "the readings were right"
        REJECT = "reject", "the readings were wrong"
        SET_ASIDE = "set_aside", "keep it out of the maps"
        CHANGE_UNIT = "change_unit", "the unit was another"
        CALIBRATE = "calibrate", "a new calibration"
        FIX_CLOCK = "fix_clock", "the clock was wrong"
        MAINTENANCE = "maintenance", "somebody was at work on it"
        ASK = "ask", "ask the keeper"
        APPROVE = "approve", "the station counts"
        SEND_BACK = "send_back", "the station needs more before it counts"
        PAUSE = "pause", "the station counts no longer for now"
        RETIRE = "retire", "the station counts no longer"

    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="decisions")
    kind = models.CharField(max_length=12, choices=Kind)
    variable = models.CharField(max_length=32, blank=True, help_text="Empty: the station itself.")
    begins_at = models.BigIntegerField(help_text="First reading it is about (UTC epoch seconds).")
    ends_at = models.BigIntegerField(help_text="Last reading it is about.")
    parameters = models.JSONField(default=dict, blank=True)
    reason = models.CharField(max_length=300, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    undone_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    undone_at = models.DateTimeField(null=True, blank=True)

    objects = DecisionQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_at__gte=F("begins_at")), name="decision_ends_after_it_begins"
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.station}"

    def covers(self, variable: str) -> bool:
        """Whether it is about a variable, which may be one of a station as a whole."""
        return self.variable in ("", variable) or variable in WITH_IT.get(self.variable, ())
