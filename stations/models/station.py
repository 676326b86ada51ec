"""The station and its life."""

from typing import Any, Self

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q

from network.quality.checks import CHECKS
from stations.models.household import Household, Membership
from stations.models.period import Remembered
from stations.models.village import Village


class StationQuerySet(models.QuerySet):
    """Who may see and change which stations is asked here and nowhere else."""

    def of(self, village: Village) -> Self:
        return self.filter(household__village=village)

    def public(self) -> Self:
        """Those every villager may read of: in the village's life now or once."""
        return self.exclude(counts_from=None)

    def kept_by(self, person: Any) -> Self:
        """Those the person may change: their household's, or all of a village they are steward of."""
        return self.filter(_kept(person)) if person.is_authenticated else self.none()

    def open_to(self, person: Any) -> Self:
        """Those the person may look at."""
        if not person.is_authenticated:
            return self.public()
        return self.filter(~Q(counts_from=None) | _kept(person))


def _kept(person: Any) -> Q:
    mine = person.memberships.values("household")
    stewarded = person.memberships.filter(role=Membership.Role.STEWARD).values("household__village")
    return Q(household__in=mine) | Q(household__village__in=stewarded)


class Station(Remembered):
    """Something that measures the weather at one household."""

    class State(models.TextChoices):
        DRAFT = "draft", "draft"
        AWAITING = "awaiting", "awaiting approval"
        LIVE = "live", "live"
        PAUSED = "paused", "paused"
        RETIRED = "retired", "retired"

    class Shown(models.TextChoices):
        EXACT = "exact", "exactly where it stands"
        ROUNDED = "rounded", "rounded to about 200 m"
        HIDDEN = "hidden", "not at all"

    household = models.ForeignKey(Household, on_delete=models.CASCADE, related_name="stations")
    name = models.CharField(max_length=60)
    state = models.CharField(max_length=8, choices=State, default=State.DRAFT)
    shown = models.CharField(
        max_length=8, choices=Shown, default=Shown.ROUNDED, help_text="How its place is shown to others."
    )
    report_every = models.PositiveIntegerField(default=300, help_text="Seconds between its reports.")
    counts_from = models.DateTimeField(
        null=True,
        blank=True,
        help_text="From when its readings count in the village (set by the steward's approval).",
    )
    counts_until = models.DateTimeField(
        null=True, blank=True, help_text="Until when, once paused or retired."
    )
    thresholds = models.JSONField(
        default=dict,
        blank=True,
        help_text='The station\'s own thresholds by check, such as {"departure": {"air_temperature": 3.0}}.',
    )
    made_at = models.DateTimeField(auto_now_add=True)

    objects = StationQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["household", "name"],
                name="station_name_once_a_household",
                violation_error_message="This household already has a station of this name.",
            ),
            models.CheckConstraint(
                condition=Q(state__in=["draft", "awaiting", "live", "paused", "retired"]),
                name="station_state_known",
            ),
            models.CheckConstraint(
                condition=~Q(state="live") | Q(counts_from__isnull=False, counts_until=None),
                name="station_live_counts",
                violation_error_message="A live station counts from a day on: approve it with that day.",
            ),
            models.CheckConstraint(
                condition=Q(counts_until=None) | Q(counts_until__gte=F("counts_from")),
                name="station_counts_until_after_from",
            ),
            models.CheckConstraint(
                condition=Q(report_every__range=(10, 86400)),
                name="station_reports_between_ten_seconds_and_a_day",
                violation_error_message="A station reports at least once a day and at most every ten seconds.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        """Refuse thresholds that no check knows."""
        for name, own in self.thresholds.items():
            known = CHECKS[name].thresholds if name in CHECKS else {}
            sound = isinstance(own, dict) and known and own.keys() <= known.keys()
            if not (sound and all(type(value) in (int, float) for value in own.values())):
                raise ValidationError(
                    {
                        "thresholds": f"{name!r}: use a check's name and its own thresholds ({', '.join(known) or 'none'})."
                    }
                )

    @property
    def village(self) -> Village:
        return self.household.village
