"""One reading that sticks out from the two beside it."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence, held_against, laid_over
from network.quality.window import Floats, Seconds, Window

VARIABLES_WITH_SPIKES = ("air_temperature", "relative_humidity", "station_pressure")
"""Wind and light jump by nature."""

FEWEST = 4
"""Readings from which a standard deviation means something."""


def recent_deviation(values: Floats, seconds: Seconds, length: float) -> Floats:
    """Standard deviation of the readings in the ``length`` [s] before each reading; 0 where too few."""
    if seconds.size == 0:
        return values
    centred = values - values.mean(axis=-1, keepdims=True)
    first = rolling.since(seconds, length)
    count = np.arange(seconds.size) - first + 1.0
    middle = rolling.total(centred, first) / count
    variance = np.maximum(rolling.total(centred**2, first) / count - middle**2, 0.0)
    before = np.zeros(values.shape)
    before[..., 1:] = np.where(count >= FEWEST, np.sqrt(variance), 0.0)[..., :-1]
    return before


def spike(values: Floats, seconds: Seconds, longest_gap: float) -> Floats:
    """|x - x(-1)| + |x - x(+1)| where a reading is above both or below both beside it, else 0.

    Shape and unit of ``values``: (n,), or rows of it. NaN at both ends and beside gaps.
    """
    sums = np.full(values.shape, np.nan)
    steps, apart = np.diff(values), np.diff(seconds)
    rise, fall = steps[..., :-1], -steps[..., 1:]
    close = np.maximum(apart[:-1], apart[1:]) <= longest_gap
    alone = np.where(rise * fall > 0, np.abs(rise) + np.abs(fall), 0.0)
    sums[..., 1:-1] = np.where(close, alone, np.nan)
    return sums


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    for seen in window.together(VARIABLES_WITH_SPIKES):
        values, errors = seen.values, np.array([[window.error(name)] for name in seen.names])
        deviation = recent_deviation(values, seen.seconds, thresholds["recent"])
        # Half the sum is the distance from the mean of the two beside it, and easier to explain.
        aside = spike(values, seen.seconds, thresholds["longest_gap"]) / 2
        tolerance = np.maximum(thresholds["deviations"] * deviation / 2, thresholds["errors"] * errors)
        beside = np.full(values.shape, np.nan)
        beside[:, 1:-1] = (values[:, :-2] + values[:, 2:]) / 2
        expected = np.where(aside > 0, beside, values + 0 * aside)
        whole = zip(laid_over(seen.where, expected), laid_over(seen.where, tolerance), strict=True)
        for variable, (middle, most) in zip(seen.names, whole, strict=True):
            yield held_against("spike", variable, window.values[variable], middle, most)


CHECK = Check(
    name="spike",
    bit=5,
    family="own past",
    source="Zahumenský (2004), |x - x(-1)| + |x - x(+1)| over 4 standard deviations of the recent period,"
    " read second-hand; no finer than 4 standard errors: common practice",
    thresholds={"deviations": 4.0, "errors": 4.0, "recent": 3600.0, "longest_gap": 1800.0},
    needs="the reading before and the one after, each within half an hour",
    meaning="The {variable} read {observed} once, between readings around {expected}.",
    advice="A single spike is usually electrical: a long cable, a poor joint, a pump that starts.",
    judge=look,
    excused_by="departure",
    unfit_at=1.0,
)
