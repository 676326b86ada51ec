"""Values that come in far coarser steps than the instrument is said to have."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Floats, Window

ASKED = ("air_temperature", "relative_humidity", "station_pressure", "wind_speed", "wind_gust", "rain_amount")


def finest_step(values: Floats, fewest: float) -> float:
    """The smallest difference between any two different values; NaN where there are too few different ones."""
    apart = np.diff(np.sort(values))  # what is missing comes last
    apart = apart[apart > 0]
    return float(apart.min()) if apart.size + 1 >= max(fewest, 2) else float("nan")


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    for variable in ASKED:
        if variable not in window.values or window.resolution.get(variable, 0.0) <= 0:
            continue
        values, told = window.values[variable], window.resolution[variable]
        step = finest_step(np.where(window.possible[variable], values, np.nan), thresholds["fewest"])
        strain = np.where(np.isnan(values), np.nan, step / (thresholds["times"] * told))
        yield Evidence("resolution", variable, strain, tolerance=step)


CHECK = Check(
    name="resolution",
    bit=37,
    family="instrument",
    source="common practice",
    thresholds={"fewest": 8.0, "times": 4.0},  # different values; the stated resolution
    needs="the stated resolution, and eight different values",
    meaning="The {variable} comes in steps of {tolerance}, far coarser than its instrument is said to have.",
    advice="Does the program round it? Send more digits, or enter the resolution that the instrument really has.",
    judge=look,
    weight=0.0,  # each value is true within its step: this only tells
)
