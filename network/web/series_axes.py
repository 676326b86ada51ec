"""The axes of a series' picture: from time and value to places, midnights, round figures."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from django.utils.translation import gettext as _

from network.web.axes import decimals, multiples, round_step
from network.web.quantities import by_format, hour, written

TOP, BOTTOM, HEIGHT = 22.0, 172.0, 194
"""[px] Where the highest and the lowest value lie, and the whole picture."""

ACROSS = 1000.0
"""Units across in the stretched part of the picture, which holds the lines."""


@dataclass(frozen=True)
class Spot:
    """A dot, a bar at the edge, or a rule, with the words beside it."""

    x: float  # [%]
    y: float  # [px]
    kind: str = ""
    words: str = ""
    anchor: str = "middle"


@dataclass(frozen=True)
class TimeAxis:
    """What all pictures of one span have in common."""

    times: list[Spot]  # its labels
    midnights: str  # a path

    @classmethod
    def over(cls, span: tuple[int, int], zone: ZoneInfo) -> "TimeAxis":
        scale = Scale(*span, 0.0, 1.0)
        return cls(list(times(scale, zone)), midnights(scale, zone))


@dataclass(frozen=True)
class Scale:
    """From time and value to places in the picture."""

    begins_at: int
    ends_at: int
    low: float
    high: float

    def x(self, seconds: np.ndarray | float) -> np.ndarray:
        return (np.asarray(seconds) - self.begins_at) / (self.ends_at - self.begins_at)

    def y(self, values: np.ndarray | float) -> np.ndarray:
        return BOTTOM - (np.asarray(values) - self.low) / (self.high - self.low) * (BOTTOM - TOP)

    def points(self, seconds: np.ndarray, values: np.ndarray) -> str:
        """Places joined by lines: 'x yLx y', to go on from an M."""
        places = np.column_stack([ACROSS * self.x(seconds), self.y(values)])
        return "L".join(["%.4g %.4g"] * len(places)) % tuple(places.ravel().tolist())

    def percent(self, seconds: float) -> float:
        return round(float(100 * self.x(seconds)), 2)


def dotted(points: str) -> str:
    """The path of a dot at each of the points: a line of no length with round ends."""
    return f"M{points.replace('L', 'h0M')}h0" if points else ""


def levels(scale: Scale, turning: bool) -> Iterator[Spot]:
    if turning:
        for value, words in ((0, "north"), (90, "east"), (180, "south"), (270, "west"), (360, "north")):
            yield Spot(0, round(float(scale.y(value)), 1), words=_(words))
        return
    step = round_step((scale.high - scale.low) / 5)
    for value in multiples(step, scale.low, scale.high):
        yield Spot(0, round(float(scale.y(value)), 1), words=written(float(value), decimals(step)))


def times(scale: Scale, zone: ZoneInfo) -> Iterator[Spot]:
    days = round((scale.ends_at - scale.begins_at) / 86400)
    first = datetime.fromtimestamp(scale.begins_at, zone)
    if days == 1:
        for moment in (first.replace(hour=one) for one in (6, 12, 18)):
            yield Spot(scale.percent(moment.timestamp()), HEIGHT, words=hour(moment))
        return
    for day in range(days):
        morning = first + timedelta(days=day)
        noon = scale.percent(morning.timestamp() + (43200 if days < 60 else 0))
        if days <= 7:
            yield Spot(noon, HEIGHT, words=by_format(morning, "D j"))
        elif days <= 60 and morning.weekday() == 0:
            yield Spot(noon, HEIGHT, words=by_format(morning, "j M"))
        elif days > 60 and morning.day == 15:
            yield Spot(noon, HEIGHT, words=by_format(morning, "M")[:1])


def midnights(scale: Scale, zone: ZoneInfo) -> str:
    """A rule from top to bottom for each, as one path: of days, of Mondays or of months, as there is room."""
    days = round((scale.ends_at - scale.begins_at) / 86400)
    first = datetime.fromtimestamp(scale.begins_at, zone)
    mornings = [first + timedelta(days=day) for day in range(days + 1)]
    ruled = [
        morning.timestamp()
        for morning in mornings
        if days <= 7 or (days <= 60 and morning.weekday() == 0) or (days > 60 and morning.day == 1)
    ]
    return "".join(f"M{x:.4g} {TOP:g}V{BOTTOM:g}" for x in (ACROSS * scale.x(np.array(ruled))).tolist())
