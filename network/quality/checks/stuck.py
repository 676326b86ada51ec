"""A value that rests longer than weather does."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence, laid_over
from network.quality.window import Floats, Seconds, Window
from network.science.variables import VARIABLES, Stillness

ALMOST = 0.999
"""A change of exactly the least change is a change, whatever the last bit of a float says."""


def rest(
    values: Floats, seconds: Seconds, least_change: float, patience: float, period: float, longest_gap: float
) -> Floats:
    """How long the rest lasts that each value is part of, as a multiple of ``patience``.

    ``values`` have shape (n,), none missing; an infinite value is one that may rest, and interrupts.
    ``patience``, ``period`` (of one reading) and ``longest_gap`` are in seconds. A rest is every stretch in
    which each period of ``patience`` holds values less than ``least_change`` apart. Returns shape (n,):
    0 where the value moves, NaN where too little is known to say.
    """
    if values.size == 0:
        return values.copy()
    first = rolling.since(seconds, patience)
    gap = np.concatenate([[0], np.cumsum(np.diff(seconds) > longest_gap)])
    known = rolling.filled(seconds, first, patience, period) & (gap == gap[first])
    high, low = rolling.highest(np.stack([values, -values]), first)
    still = known & (high + low < ALMOST * least_change)
    strain = np.where(known & np.isfinite(values), 0.0, np.nan)
    if not still.any():
        return strain
    # Each still period covers all its readings, back to the first.
    opened = np.bincount(first[still], minlength=values.size)
    closed = np.concatenate([[0], still[:-1]])
    inside = np.cumsum(opened - closed) > 0
    edges = np.flatnonzero(np.diff(np.concatenate([[False], inside, [False]])))
    starts, ends = edges[::2], edges[1::2]
    lasted = seconds[ends - 1] - seconds[starts] + period
    strain[inside] = np.repeat(lasted / patience, ends - starts)
    return strain


def rests(window: Window, variable: str, stillness: Stillness, thresholds: Thresholds) -> Floats:
    """The rests of one variable, shape (n,); NaN where missing, where it may rest, or where not known."""
    where = window.possible[variable]
    values = window.values[variable][where]
    if variable == "wind_from_direction":
        values = np.unwrap(values, period=360.0)
        may_rest = ~(window.values["wind_speed"][where] >= stillness.low)
    else:
        may_rest = (values < stillness.low) | (values >= stillness.high)
    # An instrument that can only show coarse steps needs longer to show one, and a few readings show little.
    # (Rounded, for a resolution that went through a unit's conversion is a last bit off.)
    coarse = max(round(window.resolution.get(variable, 0.0) / stillness.least_change, 6), 1.0)
    patience = (
        max(stillness.seconds * coarse, thresholds["fewest"] * window.report_every) * thresholds["times"]
    )
    strain = rest(
        np.where(may_rest, np.inf, values),
        window.seconds[where],
        stillness.least_change,
        patience,
        window.report_every,
        max(thresholds["longest_gap"], 3 * window.report_every),
    )
    return laid_over(where, strain)


def stillnesses(window: Window, thresholds: Thresholds) -> Iterator[tuple[str, Stillness]]:
    """Which of the station's variables must move, and how soon."""
    for variable in window.values:
        stillness = VARIABLES[variable].stillness
        if stillness is not None:
            yield variable, stillness
    if {"wind_from_direction", "wind_speed"} <= window.values.keys():
        yield (
            "wind_from_direction",
            Stillness(
                thresholds["direction_change"], thresholds["direction_patience"], "", low=thresholds["breeze"]
            ),
        )


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    for variable, stillness in stillnesses(window, thresholds):
        strain = rests(window, variable, stillness, thresholds)
        yield Evidence("stuck", variable, strain, tolerance=stillness.least_change)


CHECK = Check(
    name="stuck",
    bit=6,
    family="own past",
    source="Zahumenský (2004), least change, read second-hand; patience from the catalogue;"
    " longer for coarse steps or rare reports: common practice",
    thresholds={
        "times": 1.0,
        "fewest": 12.0,
        "longest_gap": 3600.0,
        "direction_change": 10.0,
        "direction_patience": 21600.0,
        "breeze": 0.5,
    },
    needs="two to six hours without a long gap",
    meaning="The {variable} has rested at {observed} for longer than weather does.",
    advice="Calm fog can do it, and then the neighbours rest as well. If not, switch the sensor off and on.",
    judge=look,
    excused_by="still_alone",
)
