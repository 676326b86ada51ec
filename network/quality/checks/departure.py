"""Distance from what the neighbours lead one to expect, against the standard error of that distance."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from network.quality import rolling
from network.quality.check import STRONG, Check, Thresholds
from network.quality.evidence import Evidence, held_against
from network.quality.window import Bools, Floats, Window
from network.science.moisture import saturation_vapour_pressure

DEW_POINT_PER_HUMIDITY = 16.0
"""[K] Error of the dew point for an error in humidity as large as the humidity itself (slope of the Magnus
formula near 10 degrees, WMO-No. 8): in dry air a hygrometer says little about the dew point."""


NOT_STRONG = np.nextafter(STRONG, 0.0)
"""The most that is no strong evidence."""


def own_error(window: Window, variable: str) -> Floats | float:
    """Standard error of the station's own reading, in the unit of the variable."""
    error = window.error(variable)
    if variable != "dew_point" or "relative_humidity" not in window.values:
        return error
    humidity = np.maximum(window.values["relative_humidity"], 0.05)
    return np.maximum(error, DEW_POINT_PER_HUMIDITY * window.error("relative_humidity") / humidity)


def ranged(window: Window, variables: Sequence[str], timing: float) -> dict[str, Floats]:
    """The lowest and the highest value expected within ``timing`` [s] of each reading, shape (2, n), by variable.

    Weather that crosses the village is at each station a little sooner or later.
    """
    if not variables:
        return {}
    expected = np.stack([window.expected[name][0] for name in variables])
    first, last = rolling.since(window.seconds, timing + 1), rolling.until(window.seconds, timing)
    low, high = rolling.highest(np.stack([-expected, expected]), first, last)
    return dict(zip(variables, np.stack([-low, high], axis=1), strict=True))


def in_a_downpour(window: Window, thresholds: Thresholds) -> Bools:
    """Where much rain falls or is about to, here or around, shape (n,): a shower cools one end of a village only."""
    expected, _ = window.expected.get("rain_amount", (None, None))
    told = [rain for rain in (window.values.get("rain_amount"), expected) if rain is not None]
    first = rolling.since(window.seconds, thresholds["shower"])
    last = rolling.until(window.seconds, thresholds["timing"])
    fallen = [rolling.total(rain, first, last) >= thresholds["downpour"] for rain in told]
    return np.logical_or.reduce(fallen) if fallen else np.zeros(window.seconds.shape, bool)


def against_neighbours(
    window: Window, variable: str, around: Mapping[str, Floats], thresholds: Thresholds
) -> Evidence:
    """The departure of one variable from the nearest value expected ``around`` that time."""
    observed, (expected, error) = window.values[variable], window.expected[variable]
    spread = np.hypot(error, own_error(window, variable))
    tolerance = np.maximum(thresholds["errors"] * spread, thresholds.get(variable, 0.0))
    if variable == "wind_from_direction":
        turned = (observed - expected + 180.0) % 360.0 - 180.0
        blows = window.values["wind_speed"] >= thresholds["breeze"]
        strain = np.where(blows, np.abs(turned) / tolerance, np.nan)
        return Evidence("departure", variable, strain, expected, tolerance)
    seen = from_nearest(variable, observed, around[variable], expected, tolerance)
    if (seen.strain >= STRONG).any():
        # A front may take longer still from the hill to the brook.
        late = ranged(window, [variable], thresholds["timing_if_strong"])[variable]
        later = from_nearest(variable, observed, late, expected, tolerance).strain
        strong = (later >= STRONG) & ~in_a_downpour(window, thresholds)
        seen = replace(seen, strain=np.where(strong, seen.strain, np.minimum(seen.strain, NOT_STRONG)))
    shared = window.shared.get(variable)
    if shared is None:
        return seen
    most = np.where(shared >= thresholds["akin"], NOT_STRONG, np.inf)
    most = np.where(shared >= thresholds["alike"], 1.0, most)
    return replace(seen, strain=np.minimum(seen.strain, most))


def from_nearest(
    variable: str, observed: Floats, around: Floats, expected: Floats, tolerance: Floats
) -> Evidence:
    """Readings (n,) held against the nearest value within ``around`` (2, n), where anything is expected."""
    nearest = np.where(np.isnan(expected), np.nan, np.clip(observed, *around))
    return held_against("departure", variable, observed, nearest, tolerance)


def of_pressure(window: Window, reduced: Evidence, temperature: Evidence | None) -> Evidence:
    """What a departure at sea level says of the barometer, while the thermometer it was reduced with is not in doubt."""
    ratio = window.reduction()
    return replace(
        reduced,
        variable="station_pressure",
        strain=not_in_doubt(temperature, reduced.strain),
        expected=ratio * np.asarray(reduced.expected),
        tolerance=ratio * np.asarray(reduced.tolerance),
    )


def of_humidity(window: Window, dew_point: Evidence, temperature: Evidence | None) -> Evidence:
    """What a departure of the dew point says of the humidity, while the thermometer is not in doubt."""
    expected, tolerance = np.asarray(dew_point.expected), np.asarray(dew_point.tolerance)
    saturated = saturation_vapour_pressure(window.values["air_temperature"])
    humidity = saturation_vapour_pressure(expected) / saturated
    wetter = saturation_vapour_pressure(expected + tolerance) / saturated
    strain = not_in_doubt(temperature, dew_point.strain)
    return Evidence("departure", "relative_humidity", strain, humidity, wetter - humidity)


def not_in_doubt(other: Evidence | None, strain: Floats) -> Floats:
    """The strain, and NaN where the neighbours contradict the other variable too, which then explains it."""
    return strain if other is None else np.where(other.speaks(), np.nan, strain)


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    asked = [name for name in window.expected if name in window.values and name != "rain_amount"]
    around = ranged(window, [name for name in asked if name != "wind_from_direction"], thresholds["timing"])
    found = {variable: against_neighbours(window, variable, around, thresholds) for variable in asked}
    yield from found.values()
    if "sea_level_pressure" in found and "station_pressure" in window.values.keys() - found.keys():
        yield of_pressure(window, found["sea_level_pressure"], found.get("air_temperature"))
    parents = {"relative_humidity", "air_temperature"}
    if "dew_point" in found and parents <= window.values.keys() and "relative_humidity" not in found:
        yield of_humidity(window, found["dew_point"], found.get("air_temperature"))


CHECK = Check(
    name="departure",
    bit=17,
    family="neighbours",
    source="after Hubbard et al. (2005), pass within 3 standard errors of the neighbours' estimate, read"
    " second-hand; least tolerance and timing from common practice",
    thresholds={
        "errors": 3.0,
        "timing": 1800.0,  # [s]
        "timing_if_strong": 3600.0,  # [s] strong evidence must be as strong with so much grace
        "downpour": 2.0,  # [mm] by which no departure is strong evidence
        "shower": 3600.0,  # [s] within which it fell
        "breeze": 2.0,  # [m/s]
        "alike": 0.7,  # [1] another departs as far: weather that the field is too smooth for
        "akin": 0.4,  # [1] another departs nearly as far: no strong evidence
        "air_temperature": 1.0,  # least tolerance, each in the variable's own unit
        "dew_point": 1.5,
        "sea_level_pressure": 100.0,
        "wind_speed": 3.0,
        "wind_from_direction": 60.0,
    },
    needs="an expected value from trusted neighbours",
    meaning="The {variable} read {observed}, while the neighbours lead us to expect {expected}"
    " (give or take {tolerance}).",
    advice="Too warm by day only: sunshine on the sensor is the usual cause. By as much day and night: look at its"
    " unit, its calibration, its height and its cable.",
    judge=look,
    strong_weight=2.0,
)
