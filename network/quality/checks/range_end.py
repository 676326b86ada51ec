"""Pinned at, or beyond, the end of the instrument's own range: censored, not measured."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window
from network.science.variables import VARIABLES

ENDS = {
    "air_temperature": (True, True),
    "relative_humidity": (True, True),
    "station_pressure": (True, True),
    "wind_speed": (False, True),
    "wind_gust": (False, True),
    "irradiance": (False, True),
}
"""Whether the low and the high end count. A calm, a dry hour and the dark are zeros that were measured."""

LEAST_RESOLUTION = 1e-6
"""Share of the range within which a value without a known resolution is at its end."""


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    for variable, (low_counts, high_counts) in ENDS.items():
        if variable not in window.values or variable not in window.ranges:
            continue
        limits = VARIABLES[variable].limits  # an end that nobody knows is no nearer than what is possible
        low, high = window.ranges[variable]
        low, high = (low if np.isfinite(low) else limits.low), (high if np.isfinite(high) else limits.high)
        # Air does become saturated: a hygrometer that says so has measured it.
        high_counts = high_counts and not (
            variable == "relative_humidity" and high >= thresholds["saturated"]
        )
        finest = max(window.resolution.get(variable, 0.0), LEAST_RESOLUTION * (high - low))
        margin = thresholds["margin"] * finest
        values = window.values[variable]
        to_low = values - low if low_counts else np.where(np.isnan(values), np.nan, np.inf)
        to_high = high - values if high_counts else np.where(np.isnan(values), np.nan, np.inf)
        strain = np.maximum(2.0 - np.minimum(to_low, to_high) / margin, 0.0)
        yield Evidence("range_end", variable, strain, (low + high) / 2, (high - low) / 2)


CHECK = Check(
    name="range_end",
    bit=0,
    family="instrument",
    source="common practice: a censored value is a bound, not a measurement",
    thresholds={"margin": 0.5, "saturated": 0.99},
    needs="the instrument's range and resolution",
    meaning="The {variable} of {observed} lies at the end of what the instrument can say ({low} to {high}).",
    advice="The true value may lie beyond: an instrument with a wider range would tell. If such a value cannot be,"
    " look for a loose wire or another unit.",
    judge=look,
    decisive=True,
)
