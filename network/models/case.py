"""Something a steward should look at: one fault of one station over its whole span."""

from typing import Self

from django.db import models
from django.db.models import Q

from stations.models import Station, Village


class CaseQuerySet(models.QuerySet):
    """Cases by what is to be done about them."""

    def of(self, village: Village) -> Self:
        return self.filter(station__household__village=village)

    def open(self) -> Self:
        """Those no decision has settled, weightiest first."""
        return self.filter(settled_at=None).order_by("-weight", "-ends_at")


class Case(models.Model):
    """A fault of one variable at one station. Rebuilt from the evidence; its settling is a decision."""

    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="cases", db_index=False)
    variable = models.CharField(max_length=32)
    check_name = models.CharField(max_length=32, help_text="The check that spoke loudest.")
    begins_at = models.BigIntegerField(help_text="The first reading in doubt (UTC epoch seconds).")
    ends_at = models.BigIntegerField(help_text="The last.")
    readings = models.PositiveIntegerField(help_text="How many readings are in doubt.")
    verdict = models.PositiveSmallIntegerField(help_text="The worst verdict among them (BUFR 0 33 020).")
    strain = models.FloatField()
    observed = models.FloatField(null=True, help_text="The reading where the contradiction was strongest.")
    expected = models.FloatField(null=True)
    tolerance = models.FloatField(null=True)
    hint = models.CharField(max_length=60, blank=True, help_text="What would explain it, such as a unit.")
    weight = models.FloatField(help_text="Harm times confidence; the desk lists the largest first.")
    settled_at = models.DateTimeField(null=True, blank=True)

    objects = CaseQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["station", "variable", "begins_at"], name="case_once"),
            models.CheckConstraint(
                condition=Q(ends_at__gte=models.F("begins_at")), name="case_ends_after_it_begins"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.station}: {self.check_name} on {self.variable}"
