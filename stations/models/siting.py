"""Siting notes: what stands around an instrument, and the class that follows."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from network.science.variables import MEASURED, VARIABLES
from stations.models.period import Remembered
from stations.models.placement import Placement


class SitingNote(Remembered):
    """A dated description of one variable's surroundings, with its siting class (WMO-No. 8, ISO 19289)."""

    placement = models.ForeignKey(Placement, on_delete=models.CASCADE, related_name="siting_notes")
    variable = models.CharField(max_length=32, choices=[(name, VARIABLES[name].words) for name in MEASURED])
    siting_class = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        help_text="1 (reference site) to 5 (close obstacles or heat); empty when not known.",
    )
    words = models.TextField(
        blank=True, max_length=2000, help_text="Walls, roofs, trees, paving, ground, mast."
    )
    answers = models.JSONField(
        default=dict,
        blank=True,
        help_text="What was answered to each question, where the class follows from it.",
    )
    written_at = models.DateTimeField()
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["variable", "written_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(siting_class=None) | Q(siting_class__range=(1, 5)),
                name="siting_class_one_to_five",
                violation_error_message="A siting class runs from 1 (best) to 5.",
            ),
            models.UniqueConstraint(
                fields=["placement", "variable", "written_at"], name="siting_note_once_a_moment"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.placement.station}, {VARIABLES[self.variable].words}: class {self.siting_class or 'not known'}"


class SitingDraft(models.Model):
    """Answers about one variable's surroundings before they are written down: kept question by question."""

    placement = models.ForeignKey(Placement, on_delete=models.CASCADE, related_name="siting_drafts")
    variable = models.CharField(
        max_length=32, help_text="The first of those that stand under the same rules."
    )
    answers = models.JSONField(default=dict)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["placement", "variable"], name="siting_draft_once_a_place")
        ]

    def __str__(self) -> str:
        return f"{self.placement.station}, {VARIABLES[self.variable].words}: being answered"
