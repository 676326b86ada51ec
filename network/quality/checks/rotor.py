"""A wind speed of nothing for hours while it blows all around."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    if "wind_speed" not in window.values or "wind_speed" not in window.expected:
        return
    wind, (expected, error) = window.values["wind_speed"], window.expected["wind_speed"]
    first = rolling.since(window.seconds, thresholds["period"])
    known = rolling.filled(window.seconds, first, thresholds["period"], window.report_every)
    at_rest = known & (rolling.highest(wind, first) <= thresholds["rest"])
    breeze = np.maximum(thresholds["breeze"], thresholds["errors"] * rolling.mean(error, first))
    blown = np.where(at_rest, rolling.mean(expected, first) / breeze, 0.0)
    strain = rolling.covered(np.where(known, blown, np.nan), first)
    for variable in ("wind_speed", "wind_gust"):
        if variable in window.values:
            missing = np.isnan(window.values[variable])
            yield Evidence("rotor", variable, np.where(missing, np.nan, strain), expected)


CHECK = Check(
    name="rotor",
    bit=22,
    family="neighbours",
    source="common practice",
    thresholds={"period": 10800.0, "rest": 0.1, "breeze": 2.0, "errors": 1.5},  # [s], [m/s], [m/s]
    needs="expected wind for three hours",
    meaning="The {variable} stayed at {observed} for hours while about {expected} blew around it.",
    advice="Ice, a spider or a worn bearing holds the rotor. Does it turn in the next breeze?",
    judge=look,
    strong_weight=2.0,
)
