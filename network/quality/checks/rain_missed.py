"""Rain that only one gauge missed."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    if "rain_amount" not in window.values or "rain_amount" not in window.expected:
        return
    rain, (expected, error) = window.values["rain_amount"], window.expected["rain_amount"]
    seconds, period = window.seconds, thresholds["period"]
    first = rolling.since(seconds, period)
    around = rolling.total(expected, first)
    doubt = thresholds["errors"] * np.sqrt(rolling.total(error**2, first))
    own = rolling.total(
        rain,
        rolling.since(seconds, period + thresholds["timing"]),
        rolling.until(seconds, thresholds["timing"]),
    )
    missed = np.maximum(around - doubt, 0.0) / (thresholds["least"] + thresholds["times"] * own)
    dry_in_rain = (expected > thresholds["raining"]) & (rain <= thresholds["hardly"] * expected)
    known = np.isfinite(rain) & np.isfinite(expected)
    strain = np.where(known, np.where(dry_in_rain, missed, 0.0), np.nan)
    yield Evidence("rain_missed", "rain_amount", strain, expected)


CHECK = Check(
    name="rain_missed",
    bit=21,
    family="neighbours",
    source="common practice",
    thresholds={
        "period": 10800.0,  # [s]
        "timing": 3600.0,  # [s]
        "least": 2.0,  # [mm]
        "times": 4.0,
        "errors": 2.0,
        "raining": 0.02,  # [mm] in one report
        "hardly": 0.1,
    },
    needs="expected rain for three hours",
    meaning="It rained all around ({expected} in this report) while this gauge caught {observed}.",
    advice="Leaves, insects or ice in the funnel are the usual causes. Look inside from firm ground.",
    judge=look,  # never wrong by itself: a shower may miss a gauge
)
