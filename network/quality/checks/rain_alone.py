"""Rain that only one gauge saw."""

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
    seconds, hour = window.seconds, thresholds["period"]
    own = rolling.total(rain, rolling.since(seconds, hour))
    # A shower reaches each gauge at its own time: look an hour further on both sides.
    first, last = rolling.since(seconds, 2 * hour), rolling.until(seconds, hour)
    around = rolling.total(expected, first, last)
    doubt = thresholds["errors"] * np.sqrt(rolling.total(error**2, first, last))
    tolerance = thresholds["least"] + thresholds["times"] * around + doubt
    known = rolling.total(np.isfinite(expected), first, last) >= thresholds["share_known"] * (
        last - first + 1
    )
    strain = np.where(known & np.isfinite(rain), np.where(rain > 0, own / tolerance, 0.0), np.nan)
    yield Evidence("rain_alone", "rain_amount", strain, expected)


CHECK = Check(
    name="rain_alone",
    bit=20,
    family="neighbours",
    source="common practice",
    thresholds={
        "period": 3600.0,
        "least": 2.0,
        "times": 3.0,
        "errors": 2.0,
        "share_known": 0.8,
    },  # least [mm]
    needs="expected rain for three hours",
    meaning="Your gauge caught rain ({observed} in this report) in an hour that was dry around it.",
    advice="A garden hose, someone cleaning the gauge, or a pole that shakes in the wind is the usual cause.",
    judge=look,
    strong_weight=2.0,
)
