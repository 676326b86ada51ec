"""A gust smaller than the mean it belongs to."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    if not {"wind_speed", "wind_gust"} <= window.values.keys():
        return
    mean, gust = window.values["wind_speed"], window.values["wind_gust"]
    slack = thresholds["slack"]
    strain = np.maximum(mean - gust, 0.0) / slack
    yield Evidence("gust_below_mean", "wind_speed", strain, gust, slack)
    yield Evidence("gust_below_mean", "wind_gust", strain, mean, slack)


CHECK = Check(
    name="gust_below_mean",
    bit=9,
    family="own other variables",
    source="Zahumenský (2004), internal consistency, read second-hand; slack: common practice",
    thresholds={"slack": 0.5},  # [m/s]
    needs="wind speed and gust",
    meaning="The {variable} of {observed} does not go with {expected}: a gust is never below the mean wind.",
    advice="Speed and gust may be swapped, or sent in two different units. Check the channels.",
    judge=look,
)
