"""Rain that only one gauge saw."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Bools, Floats, Window


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
    shaken = np.where(known, by_gusts(window, rain, expected, thresholds), 0.0)
    strain = np.where(
        known & np.isfinite(rain), np.where(rain > 0, np.maximum(own / tolerance, shaken), 0.0), np.nan
    )
    if (strain > 1.0).any():
        strain = np.where(damped_the_air(window, thresholds), np.minimum(strain, 1.0), strain)
    yield Evidence("rain_alone", "rain_amount", strain, expected)


def damped_the_air(window: Window, thresholds: Thresholds) -> Bools:
    """Where the air is cooler or damper than around, as under a cloudburst over one end of the village."""
    nothing = np.zeros(window.seconds.shape)
    cooler, damper = nothing, nothing
    if "air_temperature" in window.values and "air_temperature" in window.expected:
        cooler = window.expected["air_temperature"][0] - window.values["air_temperature"]
    if "relative_humidity" in window.values:
        damper = window.values["relative_humidity"] - window.expected_humidity
    signs = np.fmax(cooler / thresholds["cooler"], damper / thresholds["damper"])
    first = rolling.since(window.seconds, thresholds["period"])
    last = rolling.until(window.seconds, thresholds["period"])
    known: Bools = rolling.highest(signs, first, last) > 1.0
    return known


def by_gusts(window: Window, rain: Floats, expected: Floats, thresholds: Thresholds) -> Floats:
    """How far a gauge that shakes has tipped in gusts, here and there for hours while it was dry all around."""
    gust, seconds = window.values.get("wind_gust"), window.seconds
    if gust is None or not (rain > 0).any():
        return np.zeros(rain.shape)
    hour, length = thresholds["period"], thresholds["shaken_for"]
    first = rolling.since(seconds, length)
    before, after = rolling.since(seconds, length + hour), rolling.until(seconds, hour)
    tipped, blown = rain > 0, (rain > 0) & (gust >= thresholds["gusty"])
    shaken = rolling.total(blown, first) >= thresholds["fewest_tips"]
    shaken &= rolling.total(tipped, first) <= rolling.total(blown, first) + 1
    shaken &= rolling.total(np.abs(expected), before, after) < thresholds["dry"]
    said = np.where(shaken, rolling.total(rain, first) / thresholds["least_shaken"], 0.0)
    return rolling.covered(said, first)


CHECK = Check(
    name="rain_alone",
    bit=20,
    family="neighbours",
    source="common practice",
    thresholds={
        "period": 3600.0,
        "least": 2.0,  # [mm]
        "times": 3.0,
        "errors": 2.0,
        "share_known": 0.8,
        "shaken_for": 10800.0,  # [s]
        "fewest_tips": 4.0,  # reports with tips in gusts
        "gusty": 7.0,  # [m/s]
        "least_shaken": 0.5,  # [mm]
        "cooler": 1.5,  # [K] and
        "damper": 0.1,  # [1] than around: then it rained
        "dry": 0.1,  # [mm] around it, an hour further on both sides
    },
    needs="expected rain for three hours",
    meaning="Your gauge caught rain ({observed} in this report) in an hour that was dry around it.",
    advice="A garden hose, someone cleaning the gauge, or a pole that shakes in the wind is the usual cause.",
    judge=look,
    strong_weight=2.0,
)
