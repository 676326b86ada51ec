"""Stretches of days on which a figure that should be 0 is not, each with one level."""

from collections.abc import Iterator
from typing import NamedTuple

from network.quality.check import Thresholds
from network.quality.window import Floats
from network.science.episode import episode


class Episode(NamedTuple):
    """Days ``first`` .. ``last``, both included."""

    first: int
    last: int
    level: float
    error: float
    strain: float


def episodes(daily: Floats, errors: Floats, thresholds: Thresholds) -> list[Episode]:
    """All that stand out, earliest first, in the unit of ``daily``, shape (days,); NaN says nothing.

    What stands out most is found first, and then what is left before and after it. A level must exceed
    ``tolerance`` and ``errors`` times its own standard error, of which the share ``lasting`` is the same every
    day, on ``least_days`` that can tell.
    """
    return sorted(_stand_out(daily, errors, thresholds, 0, daily.size))


def _stand_out(
    daily: Floats, errors: Floats, thresholds: Thresholds, begin: int, end: int
) -> Iterator[Episode]:
    lasting, least = thresholds["lasting"], int(thresholds["least_days"])
    found = episode(daily[begin:end], errors[begin:end], lasting, least)
    if found is None:
        return
    strain = abs(found.level) / max(thresholds["tolerance"], thresholds["errors"] * found.error)
    if strain > 1.0:
        first, last = begin + found.first, begin + found.last
        yield Episode(first, last, found.level, found.error, strain)
        yield from _stand_out(daily, errors, thresholds, begin, first)
        yield from _stand_out(daily, errors, thresholds, last + 1, end)
