"""Rain while the air is dry."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    if not {"rain_amount", "relative_humidity"} <= window.values.keys():
        return
    rain, humidity = window.values["rain_amount"], window.values["relative_humidity"]
    dryness = (1.0 - humidity) / (1.0 - thresholds["humidity"])
    strain = np.where(rain > 0, np.maximum(dryness, 0.0), 0.0 * rain + 0.0 * humidity)
    yield Evidence("rain_in_dry_air", "rain_amount", strain)


CHECK = Check(
    name="rain_in_dry_air",
    bit=14,
    family="own other variables",
    source="common practice",
    thresholds={"humidity": 0.5},  # [1]
    needs="rain and relative humidity",
    meaning="{observed} of {variable} while the air was dry.",
    advice="A gauge that is knocked, cleaned or shaken tips too. Was anyone at it? Does its pole sway?",
    judge=look,
    excused_by="rain_alone",
)
