"""More light than a clear sky gives, for longer than the edge of a cloud can add to it."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    if "irradiance" not in window.values:
        return
    light = window.values["irradiance"]
    ceiling = thresholds["times"] * window.clear_sky + thresholds["slack"]
    day = window.sun_elevation > thresholds["sun_above"]
    ratio = np.where(day, light / ceiling, np.nan)
    peak = thresholds["longest_peak"]
    first = rolling.since(window.seconds, peak + 1)
    long_enough = rolling.filled(window.seconds, first, peak + 1, window.report_every)
    lasting = np.where(long_enough, rolling.lowest(ratio, first), np.nan)
    strain = np.where(np.isnan(ratio), np.nan, rolling.covered(lasting, first))
    yield Evidence(
        "light_above_clear_sky", "irradiance", strain, window.clear_sky, ceiling - window.clear_sky
    )


CHECK = Check(
    name="light_above_clear_sky",
    bit=13,
    family="own other variables",
    source="common practice: cloud edges add to a clear sky for minutes, not for more than ten",
    thresholds={
        "times": 1.3,
        "slack": 50.0,
        "sun_above": 3.0,
        "longest_peak": 600.0,
    },  # slack [W/m2], [deg], [s]
    needs="where the sun stands, so place and a true clock",
    meaning="The {variable} stayed at {observed}, while a clear sky gives {expected}.",
    advice="The factor in the calibration may be too large, or a white wall throws light on the sensor.",
    judge=look,
)
