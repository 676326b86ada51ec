"""Records for the tests of the long run: some weeks of the invented village, measured by imperfect stations."""

from collections.abc import Callable
from datetime import UTC, datetime
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from network.demo.instruments import radiation_error
from network.demo.terrain import VALLEY_FLOOR, metres
from network.demo.weather import Weather
from network.quality.record import FRAME, Record
from network.science.moisture import dew_point, vapour_pressure
from network.science.pressure import sea_level_pressure
from network.science.sun import clear_sky_irradiance, solar_position
from network.science.variables import DERIVED, MAPPED, MEASURED, VARIABLES
from network.spatial.field import Field
from network.spatial.neighbours import expected_from_neighbours
from network.spatial.sites import Sites
from tests.village import Places, places

Array = NDArray[np.float64]
Seconds = NDArray[np.int64]
Measured = dict[str, Array]
"""By variable, shape (n, t): what n stations measured in t frames."""
Faults = Callable[[Measured, Seconds], None]
"""Changes what was measured, in place."""

FLICKER = {
    "air_temperature": 0.2,
    "relative_humidity": 0.01,
    "station_pressure": 30.0,
    "wind_speed": 0.2,
    "wind_gust": 0.3,
    "wind_from_direction": 4.0,
}
"""Standard deviation from frame to frame of a common home instrument."""

LASTING = {"air_temperature": 0.2, "relative_humidity": 0.015, "station_pressure": 25.0}
"""Standard deviation from station to station of what never changes: calibration and siting."""

OF_THE_VALUE = {"wind_speed": 0.1, "wind_gust": 0.1, "rain_amount": 0.08, "irradiance": 0.05}
"""The same, as a share of the value: shelter and calibration."""

RESOLUTION = {
    "air_temperature": 0.1,
    "relative_humidity": 0.01,
    "station_pressure": 10.0,
    "wind_speed": 0.1,
    "wind_gust": 0.1,
    "wind_from_direction": 1.0,
    "rain_amount": 0.2,
    "irradiance": 1.0,
}

WARM_WALL = 0.4
"""[K] At noon under a clear sky, from station to station: half a normal distribution's spread."""

FALSE_HEIGHT = 2.0
"""[m] How well keepers know the elevation of their barometer."""


def records(
    seed: int, begin: str, days: float, stations: int = 10, faults: Faults | None = None
) -> list[Record]:
    """One record for each station; the same arguments always give the same. ``begin`` is an ISO date in UTC."""
    seconds, where, truth = weather(seed, begin, days, stations)
    random = np.random.default_rng((seed, 1))
    sun, azimuth = solar_position(seconds - FRAME / 2, where.latitude[0], where.longitude[0])
    clear_sky = clear_sky_irradiance(sun)
    values = measured(truth, clear_sky, random)
    if faults is not None:
        faults(values, seconds)
    _as_shown(values, random)
    _derive(values, where.elevation + random.normal(0.0, FALSE_HEIGHT, stations))

    sites = Sites.at(*metres(where.latitude, where.longitude), where.elevation)
    compared = {
        name: over_the_hour(values[name]) if name == "rain_amount" else values[name] for name in MAPPED
    }
    found = {name: _expected(sites, name, compared[name]) for name in MAPPED}
    return [
        Record(
            station=i + 1,
            seconds=seconds,
            values={name: values[name][i] for name in (*MEASURED, *DERIVED) if name in values},
            expected={name: found[name][0][i] for name in MAPPED},
            departures={name: compared[name][i] - found[name][0][i] for name in MAPPED},
            errors={name: found[name][1][i] for name in MAPPED},
            around={"irradiance": np.median(np.delete(values["irradiance"], i, axis=0), axis=0)}
            if stations > 1
            else {},
            latitude=float(where.latitude[i]),
            longitude=float(where.longitude[i]),
            elevation=float(where.elevation[i]),
            report_every=300.0,
            sun_elevation=sun,
            sun_azimuth=azimuth,
            clear_sky=clear_sky,
            resolution=RESOLUTION,
        )
        for i in range(stations)
    ]


def village(seed: int, stations: int) -> Places:
    """Places scattered over the relief."""
    random = np.random.default_rng((seed, 0))
    return places(random.uniform(-1000, 1000, stations), random.uniform(-800, 800, stations))


@lru_cache(maxsize=8)
def weather(seed: int, begin: str, days: float, stations: int = 10) -> tuple[Seconds, Places, Measured]:
    """Ends of the frames (t,), the places (n,) and the truth there, each variable (n, t). Do not change it."""
    first = int(datetime.fromisoformat(begin).replace(tzinfo=UTC).timestamp())
    seconds = first + FRAME * np.arange(1, round(days * 144) + 1, dtype=np.int64)
    where = village(seed, stations)
    return seconds, where, truth_at(seed, seconds, where)


def truth_at(seed: int, seconds: Seconds, where: Places) -> Measured:
    """The weather in whole frames, each variable (n, t)."""
    halves = np.sort(np.concatenate([seconds - FRAME // 2, seconds]))
    found = Weather(seed).at(halves, where.latitude, where.longitude, where.elevation)
    whole = {}
    for name in MEASURED:
        if name in found:
            first, second = found[name][:, ::2], found[name][:, 1::2]
            match VARIABLES[name].summary:
                case "sum":
                    whole[name] = first + second
                case "maximum":
                    whole[name] = np.maximum(first, second)
                case "direction":
                    whole[name] = second
                case _:
                    whole[name] = (first + second) / 2
    return whole


def moved(
    seed: int, station: int, east: float, north: float, since: int, uphill: float | None = None
) -> Faults:
    """A station that from ``since`` [s] stands so many metres elsewhere, and ``uphill`` of where it was.

    Without ``uphill`` it stands on the ground there; never below the valley's floor.
    """

    def faults(values: Measured, seconds: Seconds) -> None:
        here = village(seed, len(values["air_temperature"]))
        x, y = metres(here.latitude[station], here.longitude[station])
        there = places([float(x) + east], [float(y) + north])
        if uphill is not None:
            lowest = np.maximum(here.elevation[[station]] + uphill, VALLEY_FLOOR)
            there = Places(there.latitude, there.longitude, lowest)
        old = Places(here.latitude[[station]], here.longitude[[station]], here.elevation[[station]])
        late = seconds > since
        before, after = truth_at(seed, seconds[late], old), truth_at(seed, seconds[late], there)
        for name in ("air_temperature", "relative_humidity", "station_pressure", "wind_speed", "wind_gust"):
            values[name][station, late] += (after[name] - before[name])[0]

    return faults


def measured(truth: Measured, clear_sky: Array, random: np.random.Generator) -> Measured:
    """What imperfect instruments on imperfect sites make of the truth, (n, t) each."""
    shape = truth["air_temperature"].shape
    each = (shape[0], 1)
    values = {name: truth[name].copy() for name in truth if name != "surface_wetness"}
    sunshine = radiation_error(truth["irradiance"], truth["wind_speed"], bare=False)
    values["air_temperature"] += random.uniform(0.3, 1.0, each) * sunshine
    # A wall warmed by the sun gives it back over hours, and the more the clearer the day.
    clearness = truth["irradiance"] / np.maximum(clear_sky, 50.0)
    wall = _lagging(np.clip(clearness, 0.0, 1.0) * clear_sky / 800.0)
    values["air_temperature"] += WARM_WALL * np.abs(random.standard_normal(each)) * wall
    for name, spread in FLICKER.items():
        values[name] += spread * random.standard_normal(shape)
    for name, spread in LASTING.items():
        values[name] += spread * random.standard_normal(each)
    for name, spread in OF_THE_VALUE.items():
        values[name] *= np.maximum(1.0 + spread * random.standard_normal(each), 0.5)
    return values


def over_the_hour(rain: Array) -> Array:
    """What fell in the hour up to each frame's end, (n, t)."""
    running = np.cumsum(np.pad(rain, ((0, 0), (6, 0))), axis=1)
    return np.asarray(running[:, 6:] - running[:, :-6])


def _lagging(heat: Array, frames: float = 12.0) -> Array:
    """A fading memory of what came in, (n, t)."""
    kernel = np.exp(-np.arange(72) / frames)
    kernel /= kernel.sum()
    return np.stack([np.convolve(row, kernel)[: heat.shape[1]] for row in heat])


def _as_shown(values: Measured, random: np.random.Generator) -> None:
    """At the steps and within the ranges the instruments can show; a bucket keeps what is left for the next tip."""
    values["relative_humidity"] = np.clip(values["relative_humidity"], 0.01, 1.0)
    values["wind_from_direction"] %= 360.0
    for name in ("wind_speed", "wind_gust"):
        values[name] = np.maximum(values[name], 0.0)
    for name, step in RESOLUTION.items():
        if name == "rain_amount":
            tips = np.floor(np.cumsum(values[name], axis=1) / step + random.random((len(values[name]), 1)))
            values[name] = step * np.diff(tips, axis=1, prepend=tips[:, :1])
        else:
            values[name] = np.round(values[name] / step) * step


def _derive(values: Measured, barometer_elevation: Array) -> None:
    temperature, humidity = values["air_temperature"], values["relative_humidity"]
    values["dew_point"] = dew_point(temperature, humidity)
    values["sea_level_pressure"] = sea_level_pressure(
        values["station_pressure"],
        barometer_elevation[:, None],
        temperature,
        vapour_pressure(temperature, humidity),
    )


def _expected(sites: Sites, name: str, values: Array) -> tuple[Array, Array]:
    """What the neighbours lead one to expect and its error, (n, t), as the hub works it out."""
    entry = VARIABLES[name]
    assert entry.field is not None
    found = expected_from_neighbours(
        sites, entry.accuracy, Field.of(entry.field), values, np.isfinite(values)
    )
    return found.expected, found.error
