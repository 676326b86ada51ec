"""Periods: metadata that held from one time to another, so that the past keeps its own."""

from datetime import datetime
from typing import Any, Self

from django.db import models, transaction
from django.db.models import F, Q


class PeriodQuerySet(models.QuerySet):
    """Rows with ``begins_at`` and ``ends_at``."""

    def in_force(self, at: datetime) -> Self:
        """Those that held at ``at``; a period includes its beginning and not its end."""
        return self.filter(Q(ends_at=None) | Q(ends_at__gt=at), begins_at__lte=at)

    def current(self) -> Self:
        """Those that have not ended."""
        return self.filter(ends_at=None)


class Remembered(models.Model):
    """Metadata: saving it and marking what it touches for recomputation are one transaction."""

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        with transaction.atomic():
            super().save(*args, **kwargs)


class Period(Remembered):
    """From when to when something held."""

    begins_at = models.DateTimeField(help_text="From when this holds (UTC).")
    ends_at = models.DateTimeField(null=True, blank=True, help_text="Until when; empty while it still holds.")

    objects = PeriodQuerySet.as_manager()

    class Meta:
        abstract = True


def ends_after_it_begins(name: str) -> models.CheckConstraint:
    """The rule every period keeps."""
    return models.CheckConstraint(
        condition=Q(ends_at=None) | Q(ends_at__gt=F("begins_at")),
        name=f"{name}_ends_after_it_begins",
        violation_error_message="The end lies before the beginning. Are the two dates swapped?",
    )


def one_at_a_time(name: str, field: str, message: str) -> models.UniqueConstraint:
    """No two open periods of the same ``field``."""
    return models.UniqueConstraint(
        fields=field.split(", "),
        condition=Q(ends_at=None),
        name=f"{name}_one_at_a_time",
        violation_error_message=message,
    )
