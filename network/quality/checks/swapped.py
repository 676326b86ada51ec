"""Two channels exchanged: neither variable fits, and each would with the other's numbers."""

from collections.abc import Iterator

import numpy as np

from network.quality import rolling
from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Floats, Window
from network.science.units import convert
from network.science.variables import VARIABLES

PAIRS = (
    ("air_temperature", "relative_humidity"),
    ("wind_speed", "wind_from_direction"),
    ("irradiance", "battery_voltage"),
)
FAR = 10.0
"""What one reading may say, in standard errors."""

BATTERY = (2.0, 30.0)
"""[V] What a station lives on."""


def misfit(window: Window, variable: str, values: Floats, thresholds: Thresholds) -> Floats:
    """How far values are from what they should be, in standard errors, shape (n,); NaN where nobody knows."""
    if variable in window.expected:
        expected, error = window.expected[variable]
        off = np.abs(values - expected) / np.hypot(error, window.error(variable))
    elif variable == "relative_humidity":
        off = np.abs(values - window.expected_humidity) / np.hypot(
            thresholds["humidity_error"], window.error(variable)
        )
    elif variable == "irradiance":
        ceiling = thresholds["brightest"] * window.clear_sky + window.error(variable)
        off = np.maximum(values - ceiling, thresholds["darkest"] * window.clear_sky - values)
        off = off / thresholds["light_error"]
    else:
        low, high = BATTERY if variable == "battery_voltage" else window.limits(variable)
        off = np.where((values < low) | (values > high), FAR, 0.0 * values)
    return np.clip(off, 0.0, FAR)


def numbers_of(window: Window, other: str, variable: str) -> Floats:
    """The numbers of ``other`` as it is usually sent, read as if they were of ``variable``."""
    sent = convert(window.values[other], VARIABLES[other].unit, VARIABLES[other].shown_unit)
    return convert(sent, VARIABLES[variable].shown_unit, VARIABLES[variable].unit)


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    first = rolling.since(window.seconds, thresholds["period"])
    for pair in PAIRS:
        if not set(pair) <= window.values.keys():
            continue
        one, other = pair
        as_sent = [misfit(window, name, window.values[name], thresholds) for name in pair]
        exchanged = [
            misfit(window, one, numbers_of(window, other, one), thresholds),
            misfit(window, other, numbers_of(window, one, other), thresholds),
        ]
        known = np.isfinite(as_sent[0] + as_sent[1])
        enough = known & (rolling.total(known, first) >= thresholds["fewest"])
        squares = np.where(known, np.stack([*as_sent, *exchanged]), np.nan) ** 2
        roots = np.sqrt(rolling.mean(squares, first))
        sent, fits = roots[:2].max(axis=0), roots[2:].max(axis=0)
        better = (fits < thresholds["fits"]) & (sent > thresholds["better"] * fits)
        strain = np.where(enough, np.where(better, sent / thresholds["does_not_fit"], 0.0), np.nan)
        yield from both_of(window, pair, rolling.covered(strain, first))
    yield from speed_and_gust(window, thresholds)


def speed_and_gust(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    """A gust below its mean once may be chance; for an hour in a breeze it is the other channel."""
    pair = ("wind_speed", "wind_gust")
    if not set(pair) <= window.values.keys():
        return
    above = window.values["wind_speed"] - window.values["wind_gust"]
    blows = np.isfinite(above) & (np.abs(above) > thresholds["tell_apart"])
    first = rolling.since(window.seconds, thresholds["gusty_period"])
    enough = rolling.total(blows, first) >= thresholds["fewest_gusts"]
    share = rolling.total(blows & (above > 0), first) / np.maximum(rolling.total(blows, first), 1.0)
    strain = np.where(enough, share / thresholds["share_above"], np.nan)
    yield from both_of(window, pair, rolling.covered(strain, first))


def both_of(window: Window, pair: tuple[str, str], strain: Floats) -> Iterator[Evidence]:
    """The same evidence about either, each with the other's name."""
    for name, other in (pair, pair[::-1]):
        missing = np.isnan(window.values[name])
        yield Evidence("swapped", name, np.where(missing, np.nan, strain), hint=VARIABLES[other].words)


CHECK = Check(
    name="swapped",
    bit=36,
    family="neighbours",
    source="common practice",
    thresholds={
        "period": 10800.0,  # [s]
        "fewest": 12.0,
        "does_not_fit": 3.0,  # standard errors
        "fits": 2.0,  # standard errors
        "better": 2.0,  # times
        "humidity_error": 0.08,  # [1] of what the neighbours' dew point and temperature say together
        "brightest": 1.3,  # times a clear sky
        "darkest": 0.02,  # times a clear sky: the thickest cloud lets more through
        "light_error": 3.0,  # [W/m2] beyond both
        "tell_apart": 0.3,  # [m/s]
        "gusty_period": 7200.0,  # [s]
        "fewest_gusts": 12.0,
        "share_above": 0.8,
    },
    needs="expected values for an hour; for gusts and light, nothing but the station",
    meaning="The {variable} of {observed} does not fit, but would fit the {hint}, and the other way round.",
    advice="Two channels seem to be exchanged: look at their names, or at the plugs.",
    judge=look,
    weight=2.0,
)
