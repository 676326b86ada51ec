"""Air that seems saturated for hours while it is dry all around."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    if "relative_humidity" not in window.values:
        return
    humidity, expected = window.values["relative_humidity"], window.expected_humidity
    end = min(window.ranges.get("relative_humidity", (0.0, 1.0))[1], 1.0)
    first = rolling.since(window.seconds, thresholds["period"])
    highest, lowest = rolling.highest(np.stack([humidity, -humidity]), first) * [[1.0], [-1.0]]
    resting = (lowest >= thresholds["may_rest"]) & (highest - lowest <= thresholds["margin"])
    pinned = resting | (lowest >= end - thresholds["margin"])
    known = rolling.filled(window.seconds, first, thresholds["period"], window.report_every)
    drier = np.where(known, rolling.mean(np.maximum(humidity - expected, 0.0), first), np.nan)
    strain = np.where(pinned | np.isnan(drier), drier / thresholds["drier_by"], 0.0)
    strain = np.where(np.isnan(humidity), np.nan, rolling.covered(strain, first))
    yield Evidence("saturated", "relative_humidity", strain, expected, thresholds["drier_by"])


CHECK = Check(
    name="saturated",
    bit=38,
    family="neighbours",
    source="common practice",
    thresholds={"period": 10800.0, "margin": 0.012, "may_rest": 0.95, "drier_by": 0.15},  # [s], [1]
    needs="expected temperature and dew point for three hours",
    meaning="The {variable} stayed at {observed} for hours, while the neighbours lead us to expect {expected}.",
    advice="Water in the sensor does this. Let it dry in the sun; if it stays so, the sensor is spent.",
    judge=look,
)
