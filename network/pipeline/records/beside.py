"""What a channel said lately, and what the neighbours measured at the same hours: the readings of the bench."""

from dataclasses import dataclass

import numpy as np

from network.models import Report
from network.models.hours import HOUR, read_hours
from network.models.storage import Floats
from network.pipeline.metadata.tongue import Times, Tongue
from network.pipeline.reports.hear import as_said
from stations.models import Channel, Instrument, Placement, Station


@dataclass(frozen=True)
class Said:
    """What a channel said, before any calibration."""

    seconds: Times
    values: Floats
    unit: str


@dataclass(frozen=True)
class Neighbours:
    """Good hours of the other public stations; ``hours`` has shape (n, t)."""

    names: list[str]
    heights: Floats  # (n,) of their instruments above the ground [m]; NaN where nobody said
    elevations: Floats  # (n,) of the ground where they stand [m]
    hours: Floats


def newest(station: Station) -> float:
    """When the newest report came [UTC epoch s]; 0 where none has."""
    return (
        Report.objects.filter(station=station)
        .order_by("-received_at")
        .values_list("received_at", flat=True)
        .first()
        or 0.0
    )


def said(station: Station, channel: Channel, seconds: int) -> Said:
    """The channel's words in reports that came within ``seconds`` before the newest."""
    reports = Report.objects.filter(station=station, received_at__gte=newest(station) - seconds, problem="")
    return Said(*as_said(Tongue.of(station), reports, channel))


def by_hour(seconds: Times, values: Floats, begins_at: int, ends_at: int) -> Floats:
    """Means by UTC hour; a reading belongs to the hour that it ends or ends in. NaN where there is none."""
    place = (seconds - 1 - begins_at) // HOUR
    there = np.isfinite(values) & (seconds > begins_at) & (seconds <= ends_at)
    count = (ends_at - begins_at) // HOUR
    sums = np.bincount(place[there], values[there], count)
    many = np.bincount(place[there], minlength=count)
    return np.where(many > 0, sums / np.maximum(many, 1), np.nan)


def neighbours(station: Station, variable: str, begins_at: int, ends_at: int) -> Neighbours:
    """Other public stations of the village that have good hours of a variable in the span."""
    others = list(Station.objects.of(station.village).public().exclude(pk=station.pk))
    heights = dict(
        Instrument.objects.current()
        .filter(station__in=others, variable=variable)
        .values_list("station", "height")
    )
    elevations = dict(
        Placement.objects.current().filter(station__in=others).values_list("station", "elevation")
    )
    hours = np.array([read_hours(one.pk, variable, begins_at, ends_at) for one in others])
    hours = hours.reshape(len(others), -1)
    there = np.isfinite(hours).any(axis=1) if len(others) else np.empty(0, bool)
    known = [one for one, is_there in zip(others, there, strict=True) if is_there]
    return Neighbours(
        [one.name for one in known],
        np.array([heights.get(one.pk) or np.nan for one in known], dtype=np.float64),
        np.array([elevations.get(one.pk, np.nan) for one in known], dtype=np.float64),
        hours[there],
    )
