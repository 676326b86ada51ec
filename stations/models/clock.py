"""How a station's clock is to be understood, from when to when."""

from django.db import models
from django.db.models import Q

from stations.models.period import Period, ends_after_it_begins, one_at_a_time
from stations.models.station import Station
from stations.models.village import known_zone


class Clock(Period):
    """What a station's times mean. Without one they are UTC or carry an offset, and mark the period's end."""

    class Stamps(models.TextChoices):
        END = "end", "the end of the period measured"
        START = "start", "the start of the period measured"

    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="clocks")
    zone = models.CharField(
        max_length=64,
        default="UTC",
        validators=[known_zone],
        help_text="The zone of times sent without an offset.",
    )
    stamps = models.CharField(max_length=5, choices=Stamps, default=Stamps.END)
    fast_by = models.IntegerField(
        default=0, help_text="Seconds by which the device's clock is ahead of the true time."
    )

    class Meta:
        ordering = ["begins_at"]
        constraints = [
            ends_after_it_begins("clock"),
            one_at_a_time("clock", "station", "The station already has a clock setting. End that first."),
            models.CheckConstraint(
                condition=Q(fast_by__range=(-43200, 43200)),
                name="clock_within_half_a_day",
                violation_error_message="A clock more than twelve hours off is a wrong date: set the device's clock.",
            ),
            models.CheckConstraint(condition=Q(stamps__in=["end", "start"]), name="clock_stamps_known"),
        ]

    def __str__(self) -> str:
        return f"{self.station}: {self.zone}, {self.fast_by:+d} s"
