"""A direction while there is no wind."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    if not {"wind_speed", "wind_from_direction"} <= window.values.keys():
        return
    speed, direction = window.values["wind_speed"], window.values["wind_from_direction"]
    calm = speed <= thresholds["calm"]
    strain = np.where(calm & (direction > 0), 2.0, 0.0 * speed + 0.0 * direction)
    yield Evidence("calm_with_direction", "wind_from_direction", strain)


CHECK = Check(
    name="calm_with_direction",
    bit=16,
    family="own other variables",
    source="Zahumenský (2004), speed 0 exactly when direction 0, read second-hand; coding: WMO-No. 306",
    thresholds={"calm": 0.0},  # [m/s]
    needs="wind speed and direction",
    meaning="The {variable} read {observed} in a calm, which comes from nowhere.",
    advice="A vane rests where the last breeze left it, which is no fault: we leave the direction out.",
    judge=look,
)
