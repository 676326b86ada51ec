"""Something a steward should look at: one fault of one station over its whole span."""

from typing import Self

from django.db import models
from django.db.models import Q

from network.science.variables import VARIABLES
from stations.models import Station, Village

OVER = 12 * 3600
"""[s] So long after its last reading a case is over."""

FORGOTTEN = 7 * 86400
"""[s] So long after its last reading a case leaves the list of open ones."""


class CaseQuerySet(models.QuerySet):
    """Cases by what is to be done about them."""

    def of(self, village: Village) -> Self:
        return self.filter(station__household__village=village)

    def open(self) -> Self:
        """Those no decision has settled, weightiest first; what many stations show at once is hardly a fault."""
        shared = models.Case(models.When(~Q(check_name="clock"), at_once__gt=0, then=1), default=0)
        return self.filter(settled_at=None).order_by(shared, "-weight", "-ends_at")

    def recent(self, now: float) -> Self:
        """Those that were seen within some days: what is over for longer needs no decision any more."""
        return self.filter(ends_at__gte=now - FORGOTTEN)


class Case(models.Model):
    """A fault of one variable at one station, or of the station itself. Its settling is a decision."""

    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="cases", db_index=False)
    variable = models.CharField(max_length=32, blank=True, help_text="Empty: the station itself.")
    seen_in = models.CharField(max_length=32, help_text="The variable in which it shows most.")
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
    at_once = models.PositiveSmallIntegerField(
        default=0, help_text="How many stations show the same within the same hours; 0 where it is its own."
    )
    settled_at = models.DateTimeField(null=True, blank=True)

    objects = CaseQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["station", "variable", "begins_at"], condition=~Q(variable=""), name="case_once"
            ),
            models.UniqueConstraint(
                fields=["station", "check_name", "begins_at"],
                condition=Q(variable=""),
                name="case_of_station_once",
            ),
            models.CheckConstraint(
                condition=Q(ends_at__gte=models.F("begins_at")), name="case_ends_after_it_begins"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.station}: {self.check_name} on {self.variable or 'the station itself'}"

    @property
    def words(self) -> str:
        """What it is about."""
        if self.variable:
            return VARIABLES[self.variable].words
        return {"clock": "clock", "supply": "battery"}.get(self.check_name, "the station itself")

    @property
    def fault(self) -> tuple[int, str, str]:
        """What it has in common with itself as it grows: of a station itself, one case for each check."""
        return self.station_id, self.variable, "" if self.variable else self.check_name

    def over(self, now: float) -> bool:
        """Whether what it is about has ended."""
        return self.ends_at < now - OVER
