"""What a keeper answered to a steward's question."""

from datetime import timedelta
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.utils import timezone

from network.models.decision import Decision
from stations.models import Village

REMEMBERED = timedelta(days=30)
"""So long an answer stays on the desk, if no decision follows it."""


class AnswerQuerySet(models.QuerySet):
    """Answers by what is to be done about them."""

    def unheeded(self, village: Village) -> Self:
        """Those that no decision about the same thing has followed yet, newest first."""
        later = Decision.objects.standing().filter(
            station=OuterRef("question__station"),
            variable=OuterRef("question__variable"),
            made_at__gt=OuterRef("made_at"),
        )
        asked = self.filter(question__station__household__village=village, question__undone_at=None)
        lately = asked.filter(made_at__gt=timezone.now() - REMEMBERED)
        return lately.exclude(Exists(later)).order_by("-made_at")


class Answer(models.Model):
    """One answer to one question: it is never changed; a second thought is a second answer."""

    class Said(models.TextChoices):
        NOTHING = "nothing", "Nothing was moved or changed."
        CHANGED = "changed", "Something was moved or changed."
        UNKNOWN = "unknown", "I do not know."
        OTHER = "other", "None of these."

    question = models.ForeignKey(
        Decision, on_delete=models.CASCADE, related_name="answers", limit_choices_to={"kind": "ask"}
    )
    said = models.CharField(max_length=8, choices=Said)
    changed_on = models.DateField(null=True, blank=True, help_text="The village day of what was changed.")
    words = models.CharField(max_length=300, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    told_at = models.DateTimeField(null=True, blank=True, help_text="When the stewards were told by e-mail.")

    objects = AnswerQuerySet.as_manager()

    class Meta:
        ordering = ["made_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(said__in=["nothing", "changed", "unknown", "other"]), name="answer_is_one_of_four"
            ),
            models.CheckConstraint(
                condition=~Q(said="other") | ~Q(words=""),
                name="answer_other_has_words",
                violation_error_message="Say in a sentence what it was.",
            ),
            models.CheckConstraint(
                condition=Q(said="changed", changed_on__isnull=False)
                | ~Q(said="changed") & Q(changed_on=None),
                name="answer_changed_has_its_day",
                violation_error_message="Say on which day it was moved or changed.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sentence} {self.words}".strip()

    @property
    def sentence(self) -> str:
        """What was chosen, with its day."""
        if self.said == self.Said.OTHER:
            return ""
        if self.changed_on is None:
            return str(self.get_said_display())
        day: Any = self.changed_on
        return f"Something was moved or changed on {day.day} {day:%B %Y}."
