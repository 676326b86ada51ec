"""Light while the sun is well below the horizon."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window

LIGHTS = ("irradiance", "light_level")


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    night = window.sun_elevation < thresholds["sun_below"]
    for variable in LIGHTS:
        if variable in window.values:
            slack = thresholds[variable]
            strain = np.where(night, np.maximum(window.values[variable], 0.0) / slack, np.nan)
            yield Evidence("light_at_night", variable, strain, 0.0, slack)


CHECK = Check(
    name="light_at_night",
    bit=12,
    family="own other variables",
    source="common practice: no light with the sun 6 degrees down (civil twilight)",
    thresholds={"sun_below": -6.0, "irradiance": 10.0, "light_level": 0.05},  # [deg], [W/m2], [1]
    needs="where the sun stands, so place and a true clock",
    meaning="The {variable} read {observed} at night.",
    advice="A lamp nearby, or a clock that is hours off. Does the light come and go with the real sun?",
    judge=look,
)
