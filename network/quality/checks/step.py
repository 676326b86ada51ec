"""A change larger than the weather makes in the time that passed."""

from collections.abc import Iterator, Sequence

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence, held_against, laid_over
from network.quality.window import Floats, Together, Window
from network.science.variables import VARIABLES, Step

AGES = (60.0, 3600.0, 7200.0, 10800.0)
"""[s] A minute, and one, two and three hours: the ages between which the limit is interpolated."""

BEYOND_AN_HOUR = {"air_temperature": (7.0, 9.0), "station_pressure": (600.0, 900.0)}
"""Largest change in two and in three hours: WMO-No. 305, page VI.21, read second-hand."""

COMMONLY_BEYOND = (1.5, 2.0)
"""The same for other variables, as multiples of an hour's: common practice."""


def limit(variable: str, step: Step, elapsed: Floats) -> Floats:
    """Largest change to believe after ``elapsed`` [s], in the unit of the variable; shape of ``elapsed``."""
    two, three = BEYOND_AN_HOUR.get(variable, tuple(step.hour * times for times in COMMONLY_BEYOND))
    return np.interp(elapsed, AGES, (step.minute, step.hour, two, three))


def earlier(seen: Together, steps: Sequence[Step], back: int, longest_gap: float) -> tuple[Floats, Floats]:
    """The values ``back`` readings before, and the change allowed since; NaN at the start and across gaps."""
    before, allowed = np.full((2, *seen.values.shape), np.nan)
    elapsed = (seen.seconds[back:] - seen.seconds[:-back]).astype(np.float64)
    before[:, back:] = np.where(elapsed <= longest_gap, seen.values[:, :-back], np.nan)
    ages, which = np.unique(elapsed, return_inverse=True)  # a station that reports evenly has one
    limits = [limit(name, step, ages) for name, step in zip(seen.names, steps, strict=True)]
    allowed[:, back:] = np.stack(limits)[:, which]
    return before, allowed


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    stepping = {name: step for name in window.values if (step := VARIABLES[name].step) is not None}
    for seen in window.together(stepping):
        steps, gap = [stepping[name] for name in seen.names], thresholds["longest_gap"]
        last, allowed = earlier(seen, steps, 1, gap)
        # The return from a spike is a step too, but back to what was there before: blame the spike alone.
        last_but_one, allowed_since = earlier(seen, steps, 2, gap)
        returned = np.abs(seen.values - last_but_one) / allowed_since < np.abs(seen.values - last) / allowed
        before = np.where(returned, last_but_one, last)
        tolerance = np.where(returned, allowed_since, allowed) * thresholds["times"]
        whole = zip(laid_over(seen.where, before), laid_over(seen.where, tolerance), strict=True)
        for variable, (expected, most) in zip(seen.names, whole, strict=True):
            yield held_against("step", variable, window.values[variable], expected, most)


CHECK = Check(
    name="step",
    bit=4,
    family="own past",
    source="Zahumenský (2004), a minute, and WMO-No. 305 (1993), hours, both read second-hand",
    thresholds={"times": 1.0, "longest_gap": 10800.0},
    needs="a reading within the three hours before",
    meaning="The {variable} jumped from {expected} to {observed}; we believe {tolerance} in that time.",
    advice="A front can do it, and then the neighbours see it as well. If not, look for a loose plug.",
    judge=look,
    weight=0.9,  # with an ordinary departure it is what a front does, and not yet wrong
    excused_by="departure",
    unfit_at=2.0,
)
