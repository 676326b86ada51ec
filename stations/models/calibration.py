"""Calibrations: from when, what arithmetic, by whom, why."""

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from network.science import calibration as arithmetic
from stations.models.instrument import Channel
from stations.models.period import Remembered


class Calibration(Remembered):
    """The arithmetic from what a channel says to the variable, in force until the channel's next one begins."""

    channel = models.ForeignKey(Channel, on_delete=models.CASCADE, related_name="calibrations")
    begins_at = models.DateTimeField(help_text="From when this holds (UTC).")
    kind = models.CharField(
        max_length=16, choices=[(kind, kind.replace("_", " ")) for kind in arithmetic.KINDS]
    )
    parameters = models.JSONField(default=dict)
    reason = models.CharField(max_length=200, blank=True, help_text="How these figures were found.")
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["begins_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["channel", "begins_at"],
                name="calibration_one_beginning_each",
                violation_error_message="Another calibration begins at that very moment. Choose a later one.",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=list(arithmetic.KINDS)), name="calibration_kind_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.channel.name}: {self.kind} from {self.begins_at:%Y-%m-%d}"

    def clean(self) -> None:
        try:
            arithmetic.check(self.kind, self.parameters)
        except arithmetic.WrongCalibration as wrong:
            raise ValidationError({"parameters": str(wrong)}) from wrong
