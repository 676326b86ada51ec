"""Air more than saturated."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    humidity = window.values.get("relative_humidity")
    if humidity is not None:
        strain = np.maximum(humidity - 1.0, 0.0) / thresholds["slack"]
        yield Evidence("humidity_above_100", "relative_humidity", strain, 1.0, thresholds["slack"])


CHECK = Check(
    name="humidity_above_100",
    bit=10,
    family="own other variables",
    source="Zahumenský (2004), 0 to 100 %, read second-hand; slack for ageing: common practice",
    thresholds={"slack": 0.03},  # [1]
    needs="relative humidity",
    meaning="The {variable} read {observed}; saturated air has {expected}.",
    advice="Hygrometers creep upwards with age and after long fog. Let it dry, then compare over salt.",
    judge=look,
)
