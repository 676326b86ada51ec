"""A dew point above the temperature of the air."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    if not {"dew_point", "air_temperature"} <= window.values.keys():
        return
    dew_point, temperature = window.values["dew_point"], window.values["air_temperature"]
    slack = thresholds["slack"]
    strain = np.maximum(dew_point - temperature, 0.0) / slack
    yield Evidence("dew_point_above_temperature", "dew_point", strain, temperature, slack)
    yield Evidence("dew_point_above_temperature", "air_temperature", strain, dew_point, slack)


CHECK = Check(
    name="dew_point_above_temperature",
    bit=11,
    family="own other variables",
    source="Zahumenský (2004), internal consistency, read second-hand; slack for rounding: common practice",
    thresholds={"slack": 0.15},  # [K]
    needs="dew point and air temperature",
    meaning="The {variable} of {observed} does not go with {expected}: the dew point is never above the air.",
    advice="The two sensors disagree, or one of them is wet. Let both dry in the shade.",
    judge=look,
)
