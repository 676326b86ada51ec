"""A wind speed of nothing for hours while it blows all around."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Floats, Window


def at_rest(
    window: Window,
    wind: Floats,
    expected: Floats,
    error: Floats,
    period: float,
    least: float,
    thresholds: Thresholds,
) -> Floats:
    """The wind expected over each ``period`` [s] at rest, as a multiple of the ``least`` that turns any rotor."""
    first = rolling.since(window.seconds, period)
    known = rolling.filled(window.seconds, first, period, window.report_every)
    resting = known & (rolling.highest(wind, first) <= thresholds["rest"])
    blown = np.zeros(wind.shape)
    if resting.any():
        breeze = np.maximum(least, thresholds["errors"] * rolling.mean(error, first))
        blown = np.where(resting, rolling.mean(expected, first) / breeze, 0.0)
    return rolling.covered(np.where(known, blown, np.nan), first)


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    if "wind_speed" not in window.values or "wind_speed" not in window.expected:
        return
    wind, (expected, error) = window.values["wind_speed"], window.expected["wind_speed"]
    in_a_breeze = at_rest(
        window, wind, expected, error, thresholds["period"], thresholds["breeze"], thresholds
    )
    all_day = at_rest(window, wind, expected, error, thresholds["day"], thresholds["light_air"], thresholds)
    strain = np.fmax(in_a_breeze, all_day)
    for variable in ("wind_speed", "wind_gust"):
        if variable in window.values:
            missing = np.isnan(window.values[variable])
            yield Evidence("rotor", variable, np.where(missing, np.nan, strain), expected)


CHECK = Check(
    name="rotor",
    bit=22,
    family="neighbours",
    source="common practice",
    thresholds={
        "period": 10800.0,  # [s]
        "day": 43200.0,  # [s] a whole day of light air says as much as three hours of breeze
        "rest": 0.1,  # [m/s]
        "breeze": 2.0,  # [m/s]
        "light_air": 1.4,  # [m/s]
        "errors": 1.5,
    },
    needs="expected wind for three hours",
    meaning="The {variable} stayed at {observed} for hours while about {expected} blew around it.",
    advice="Ice, a spider or a worn bearing holds the rotor. Does it turn in the next breeze?",
    judge=look,
    strong_weight=2.0,
)
