"""Severe weather laid over the truth of a world: what must never be taken for a fault.

A squall line, a foehn-like jump, a cloudburst over one end of the village, a cold pool and a calm fog, each in the
seasons that have them; and the sharpest change of air that the weather itself brought. Figures are those of
textbook cases (common practice): what a line of storms, the foehn or a shower does within minutes.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np

from network.demo.terrain import VALLEY_FLOOR, metres
from network.demo.waves import rise
from network.science.moisture import saturation_vapour_pressure
from tests.faults.said import Floats, Seconds

HOUR = 3600.0
MARGIN = 1.5 * HOUR
"""[s] Before and after, still of the storm."""

Truth = dict[str, Floats]
Storm = tuple[str, int, int]


class Ground:
    """Where the stations stand: arrays (n, 1), metres from the middle, and above the valley floor."""

    def __init__(self, places: list[Any]) -> None:
        east, north = metres([place.latitude for place in places], [place.longitude for place in places])
        self.east, self.north = east[:, None], north[:, None]
        self.above = np.array([place.elevation - VALLEY_FLOOR for place in places])[:, None]


def severe(
    seed: int, seconds: Seconds, places: list[Any], truth: Mapping[str, Floats]
) -> tuple[Truth, list[Storm]]:
    """The truth (n, t) with storms in it, and when each was."""
    random, ground = np.random.default_rng([seed, 31]), Ground(places)
    now, storms = dict(truth), [_sharpest(seconds, truth)]
    spring_or_summer = (
        3 <= seconds[0].astype("datetime64[s]").astype("datetime64[M]").astype(int) % 12 + 1 <= 9
    )
    kinds = (squall, cloudburst, foehn) if spring_or_summer else (foehn, cold_pool, fog)
    days = np.arange(2, len(seconds) // 288 - 2, 2)
    for i, day in enumerate(days):
        kind = kinds[i % len(kinds)]
        begins_at, ends_at, now = kind(now, seconds, int(seconds[0]) + int(day) * 86400, ground, random)
        storms.append((kind.__name__.replace("_", " "), int(begins_at - MARGIN), int(ends_at + MARGIN)))
    return now, storms


def squall(
    truth: Truth, seconds: Seconds, day: int, ground: Ground, random: np.random.Generator
) -> tuple[float, float, Truth]:
    """A line of storms in the late afternoon: cold gust, pressure nose, cloudburst, all within minutes."""
    at, heading, speed = (
        day + random.uniform(13, 18) * HOUR,
        np.radians(random.uniform(60, 120)),
        random.uniform(12, 18),
    )
    age = seconds - at - (ground.east * np.sin(heading) + ground.north * np.cos(heading)) / speed
    passed = 0.5 + 0.5 * np.tanh(age / 240.0)
    cold = passed * np.exp(-np.maximum(age, 0.0) / (4 * HOUR))
    burst = np.exp(-((age / 500.0) ** 2)) * random.uniform(8.0, 13.0) * (0.6 + 0.4 * ground.above / 150.0)
    fell = random.uniform(50, 90) * np.exp(-(((age - 400.0) / 350.0) ** 2)) + 8.0 * rise(age / 600.0) * rise(
        2 - age / 1800.0
    )
    wind = truth["wind_speed"] + burst
    turned = rise(2.0 - np.abs(age - 900.0) / 900.0) > 0.5
    changed = _air(truth, -random.uniform(8.0, 12.0) * cold, -2.0 * cold)
    changed |= _pressure(truth, random.uniform(200.0, 400.0) * passed * np.exp(-np.maximum(age, 0.0) / HOUR))
    changed |= {
        "wind_speed": wind,
        "wind_gust": np.maximum(truth["wind_gust"] + 1.7 * burst, wind),
        "wind_from_direction": np.where(
            turned, (np.degrees(heading) + 180.0) % 360.0, truth["wind_from_direction"]
        ),
        "rain_amount": truth["rain_amount"] + np.where(fell > 0.06, fell, 0.0) * 300.0 / HOUR,
        "irradiance": truth["irradiance"] * (1.0 - 0.85 * rise(2.0 - np.abs(age - 1200.0) / 2400.0)),
    }
    return at - HOUR, at + 5 * HOUR, truth | changed


def cloudburst(
    truth: Truth, seconds: Seconds, day: int, ground: Ground, random: np.random.Generator
) -> tuple[float, float, Truth]:
    """A shower that stands over one end of the village for half an hour and leaves the other dry."""
    at, end = day + random.uniform(12, 19) * HOUR, random.integers(len(ground.east))
    near = np.hypot(ground.east - ground.east[end], ground.north - ground.north[end])
    over = np.exp(-((near / 420.0) ** 2)) * np.exp(-(((seconds - at) / 900.0) ** 2))
    outflow = (
        np.exp(-((near / 700.0) ** 2))
        * rise((seconds - at + 600) / 1200.0)
        * np.exp(-np.maximum(seconds - at, 0) / (1.5 * HOUR))
    )
    wind = truth["wind_speed"] + 4.0 * over
    fell = random.uniform(50, 90) * over
    temperature = truth["air_temperature"] - 5.0 * outflow
    dew_point = np.minimum(truth["dew_point"], temperature)
    damp = np.maximum(outflow, np.minimum(2.0 * over, 1.0))
    changed = _moist(temperature, dew_point + damp * np.maximum(temperature - 0.4 - dew_point, 0.0)) | {
        "wind_speed": wind,
        "wind_gust": np.maximum(truth["wind_gust"] + 9.0 * over, wind),
        "rain_amount": truth["rain_amount"] + np.where(fell > 0.06, fell, 0.0) * 300.0 / HOUR,
        "irradiance": truth["irradiance"] * (1.0 - 0.8 * np.minimum(1.5 * over, 1.0)),
    }
    return at - 0.5 * HOUR, at + 3 * HOUR, truth | changed


def foehn(
    truth: Truth, seconds: Seconds, day: int, ground: Ground, random: np.random.Generator
) -> tuple[float, float, Truth]:
    """Warm, dry wind that breaks through from above: the hill first, the brook up to 45 minutes later."""
    at, lasting = day + random.uniform(2, 14) * HOUR, random.uniform(6, 10) * HOUR
    age = seconds - at - 2700.0 * np.clip(1.0 - ground.above / 130.0, 0.0, 1.0)
    here = rise(age / 900.0) * rise((lasting - age) / 1800.0)
    wind = np.maximum(truth["wind_speed"], here * (4.0 + 3.0 * ground.above / 150.0))
    changed = _air(truth, random.uniform(7.0, 10.0) * here, -random.uniform(3.0, 6.0) * here)
    everywhere = rise((seconds - at + 2 * HOUR) / (4 * HOUR)) * rise(
        (at + lasting + 3 * HOUR - seconds) / (4 * HOUR)
    )
    changed |= _pressure(truth, -200.0 * everywhere * np.ones_like(here))
    changed |= {
        "rain_amount": np.where(here > 0.1, 0.0, truth["rain_amount"]),
        "wind_speed": wind,
        "wind_gust": np.maximum(truth["wind_gust"], 1.6 * wind * here),
        "wind_from_direction": np.where(
            here > 0.5, 180.0 + 0.2 * (truth["wind_from_direction"] - 180.0), truth["wind_from_direction"]
        ),
    }
    return at - HOUR, at + lasting + 3 * HOUR, truth | changed


def cold_pool(
    truth: Truth, seconds: Seconds, day: int, ground: Ground, random: np.random.Generator
) -> tuple[float, float, Truth]:
    """A clear, calm night fills the hollow until it is 9 K colder than the hill; the forenoon's sun stirs it away."""
    at = day + 16.5 * HOUR
    pool = rise((seconds - at) / (5 * HOUR)) * rise((at + 17.5 * HOUR - seconds) / (1.2 * HOUR))
    temperature = truth["air_temperature"]
    inverted = (temperature.max(axis=0) - temperature.min(axis=0))[pool > 0].max()
    depth = pool * np.exp(-((ground.above / 38.0) ** 1.3)) * max(9.0 - inverted, 0.0)
    still = 1.0 - 0.9 * np.minimum(pool * np.exp(-ground.above / 70.0) * 1.5, 1.0)
    wind = truth["wind_speed"] * still
    changed = _air(truth, -depth, -0.3 * depth) | _calmed(truth, wind, truth["wind_gust"] * still)
    return at, at + 18 * HOUR, truth | changed


def fog(
    truth: Truth, seconds: Seconds, day: int, ground: Ground, random: np.random.Generator
) -> tuple[float, float, Truth]:
    """A day of fog: saturated, calm, dim, and hardly a change of temperature."""
    at, lasting = day + random.uniform(0, 6) * HOUR, random.uniform(20, 26) * HOUR
    here = rise((seconds - at) / (3 * HOUR)) * rise((at + lasting - seconds) / (3 * HOUR))
    inside = (seconds > at) & (seconds < at + lasting)
    level = truth["air_temperature"][:, inside].mean() - 1.0 + 0.004 * (40.0 - ground.above)
    temperature = (1.0 - here) * truth["air_temperature"] + here * level
    dew_point = np.minimum((1.0 - here) * truth["dew_point"] + here * level, temperature)
    changed = _moist(temperature, dew_point) | _calmed(
        truth, truth["wind_speed"] * (1.0 - 0.97 * here), truth["wind_gust"] * (1.0 - 0.95 * here)
    )
    changed |= {
        "rain_amount": np.where(here > 0, 0.0, truth["rain_amount"]),
        "irradiance": truth["irradiance"] * (1.0 - 0.7 * here),
    }
    return at, at + lasting, truth | changed


def _air(truth: Truth, warmer: Floats, moister: Floats) -> Truth:
    """Temperature and dew point changed by so many kelvin, and the humidity that follows."""
    temperature = truth["air_temperature"] + warmer
    return _moist(temperature, np.minimum(truth["dew_point"] + moister, temperature - 0.05))


def _moist(temperature: Floats, dew_point: Floats) -> Truth:
    humidity = saturation_vapour_pressure(dew_point) / saturation_vapour_pressure(temperature)
    return {"air_temperature": temperature, "dew_point": dew_point, "relative_humidity": humidity}


def _pressure(truth: Truth, higher: Floats) -> Truth:
    """Pressure at sea level changed by so many pascals, and at the stations in proportion."""
    sea_level = truth["sea_level_pressure"] + higher
    ratio = sea_level / truth["sea_level_pressure"]
    return {"sea_level_pressure": sea_level, "station_pressure": truth["station_pressure"] * ratio}


def _calmed(truth: Truth, speed: Floats, gust: Floats) -> Truth:
    direction = np.where(speed < 0.1, np.nan, truth["wind_from_direction"])
    return {"wind_speed": speed, "wind_gust": np.maximum(gust, speed), "wind_from_direction": direction}


def _sharpest(seconds: Seconds, truth: Mapping[str, Floats]) -> Storm:
    """The hour in which the weather itself changed most, found in the truth."""
    change = np.abs(truth["air_temperature"][:, 12:] - truth["air_temperature"][:, :-12]).mean(axis=0)
    at = int(seconds[int(np.argmax(change)) + 6])
    return "front", int(at - 2 * HOUR), int(at + 2 * HOUR)
