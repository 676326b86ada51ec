"""Instruments, and the channels by which a device names them."""

from django.db import models
from django.db.models import F, Q

from network.science.variables import MEASURED, VARIABLES
from stations.models.period import Period, ends_after_it_begins, one_at_a_time
from stations.models.station import Station


class Instrument(Period):
    """One sensor for one variable. Range, resolution and accuracy are in the variable's canonical unit."""

    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="instruments")
    variable = models.CharField(max_length=32, choices=[(name, VARIABLES[name].words) for name in MEASURED])
    principle = models.CharField(
        max_length=80, blank=True, help_text="How it measures, such as 'thermistor' or 'cups'."
    )
    range_low = models.FloatField(null=True, blank=True, help_text="The lowest value it can give.")
    range_high = models.FloatField(null=True, blank=True, help_text="The highest value it can give.")
    resolution = models.FloatField(null=True, blank=True, help_text="The smallest step it can show.")
    accuracy = models.FloatField(
        null=True, blank=True, help_text="Its standard error, as its maker or your trial says."
    )
    response = models.FloatField(
        null=True, blank=True, help_text="Seconds in which it follows two thirds of a sudden change."
    )
    height = models.FloatField(null=True, blank=True, help_text="Metres above the ground.")
    shield = models.CharField(max_length=80, blank=True, help_text="What keeps sun and rain off it.")

    class Meta:
        ordering = ["variable", "begins_at"]
        constraints = [
            ends_after_it_begins("instrument"),
            models.CheckConstraint(
                condition=Q(range_low=None) | Q(range_high=None) | Q(range_low__lt=F("range_high")),
                name="instrument_range_low_below_high",
                violation_error_message="The range begins above its end. Are the two swapped?",
            ),
            models.CheckConstraint(condition=Q(variable__in=MEASURED), name="instrument_variable_known"),
            models.CheckConstraint(
                condition=Q(accuracy=None) | Q(accuracy__gt=0),
                name="instrument_accuracy_positive",
                violation_error_message="An accuracy is more than zero; leave it empty when you do not know it.",
            ),
            models.CheckConstraint(
                condition=Q(resolution=None) | Q(resolution__gt=0),
                name="instrument_resolution_positive",
                violation_error_message="A resolution is more than zero; leave it empty when you do not know it.",
            ),
            models.CheckConstraint(
                condition=Q(response=None) | Q(response__gt=0),
                name="instrument_response_positive",
                violation_error_message="A response takes more than no time; leave it empty when you do not know it.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.station}: {VARIABLES[self.variable].words}"


class Channel(Period):
    """The name and unit a device uses for an instrument."""

    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="channels")
    instrument = models.ForeignKey(Instrument, on_delete=models.CASCADE, related_name="channels")
    name = models.CharField(max_length=200, help_text="The name the device sends.")
    unit = models.CharField(
        max_length=20, help_text="The unit it sends, such as Cel, [degF], hPa, count or 1/s."
    )

    class Meta:
        ordering = ["name"]
        constraints = [
            ends_after_it_begins("channel"),
            one_at_a_time(
                "channel", "station, name", "The station already has a channel of this name. End that first."
            ),
            models.CheckConstraint(condition=~Q(name=""), name="channel_has_a_name"),
        ]

    def __str__(self) -> str:
        return f"{self.name} [{self.unit}]"
