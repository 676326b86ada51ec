"""A value that rested while its neighbours' moved."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.checks import stuck
from network.quality.evidence import Evidence
from network.quality.window import Bools, Floats, Window
from network.science.pressure import sea_level_pressure


def moved_meanwhile(expected: Floats, resting: Bools) -> Floats:
    """How far ``expected`` ranged over each stretch of ``resting``, shape (n,); NaN where nothing rested."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], resting, [False]])))
    moved = np.full(expected.shape, np.nan)
    if edges.size:
        # reduceat's last stretch needs an end that is a place in the array.
        padded = np.concatenate([expected, [np.nan]])
        ranged = np.fmax.reduceat(padded, edges) - np.fmin.reduceat(padded, edges)
        moved[resting] = np.repeat(ranged[::2], edges[1::2] - edges[::2])
    return moved


def expected_of(window: Window, variable: str) -> tuple[Floats, Floats] | None:
    """What the neighbours lead one to expect and its error; of the barometer by way of sea level and their warmth."""
    if (
        variable != "station_pressure"
        or not {"sea_level_pressure", "air_temperature"} <= window.expected.keys()
    ):
        return window.expected.get(variable)
    expected, error = window.expected["sea_level_pressure"]
    air, _ = window.expected["air_temperature"]
    return expected / sea_level_pressure(1.0, window.elevation, air, 0.0), error


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    patience = {**stuck.CHECK.thresholds, **window.overrides.get("stuck", {})}
    for variable, stillness in stuck.stillnesses(window, patience):
        if variable == "wind_from_direction":
            continue
        known = expected_of(window, variable)
        if known is None:
            continue
        expected, error = known
        resting = stuck.rests(window, variable, stillness, patience) > 1.0
        least = max(stillness.least_change, window.resolution.get(variable, 0.0))
        tolerance = np.maximum(thresholds["times"] * least, thresholds["errors"] * error)
        strain = moved_meanwhile(expected, resting) / tolerance
        yield Evidence("still_alone", variable, strain, expected, tolerance)


CHECK = Check(
    name="still_alone",
    bit=18,
    family="neighbours",
    source="common practice",
    thresholds={"times": 8.0, "errors": 1.0},  # of the least change, of the standard error
    needs="a rest that the check stuck found, and expected values meanwhile",
    meaning="The {variable} rested at {observed} while the neighbours' moved by more than {tolerance}.",
    advice="Switch the station off and on. If it happens again, the sensor or its cable is failing.",
    judge=look,
)
