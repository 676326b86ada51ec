"""The weather of the invented village, known everywhere in it at any time, past or to come."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.demo import fronts, moisture, showers, sky, warmth
from network.demo.fronts import Front
from network.demo.rain import Rain
from network.demo.terrain import VALLEY_FLOOR, metres
from network.demo.waves import Waves, rise
from network.demo.wind import Wind
from network.science.constants import DRY_AIR_GAS_CONSTANT, STANDARD_GRAVITY, STANDARD_LAPSE_RATE
from network.science.moisture import saturation_vapour_pressure

Array = NDArray[np.float64]

HOUR = 3600.0
PERIOD = 300.0
"""[s] Amounts and means are of the period of this length that ends at the time asked for."""

MEAN_PRESSURE = 101_700.0
"""[Pa] At sea level."""


class Weather:
    """Physically coherent weather that follows the calendar; the same ``seed`` always has the same weather.

    Nothing is remembered between calls: a month asked for at once equals its days asked for one by one.
    """

    def __init__(self, seed: int = 0) -> None:
        random = np.random.default_rng(seed)
        self._front_seed, self._shower_seed = (int(number) for number in random.integers(2**32, size=2))
        self._sky, self._wind, self._rain = sky.Sky(random), Wind(random), Rain(random)
        self._pressure = Waves(random, lasting=30 * HOUR)
        self._air_mass = Waves(random, lasting=44 * HOUR)
        self._dryness = Waves(random, lasting=14 * HOUR)
        self._ripples = Waves(random, lasting=1500.0, reach=700.0)
        self._thermals = Waves(random, lasting=240.0, reach=200.0)

    def at(
        self, seconds: ArrayLike, latitude: ArrayLike, longitude: ArrayLike, elevation: ArrayLike
    ) -> dict[str, Array]:
        """Every variable at epoch times (t,) and places (n,) [deg, deg, m], each of shape (n, t).

        Times mark the end of the five minutes measured. No value is missing, except that a calm has no
        ``wind_from_direction``. ``rain_amount`` fell in those five minutes, snow as the water it melts to.
        Units are the catalogue's; beside its variables there are ``cloud_cover`` [1] and
        ``sun_elevation`` [deg].
        """
        middle = np.atleast_1d(seconds).astype(np.float64) - PERIOD / 2
        east, north = metres(np.atleast_1d(latitude), np.atleast_1d(longitude))
        ground = np.broadcast_to(np.asarray(elevation, dtype=np.float64), east.shape)
        passing = self.fronts(middle)
        cells = showers.near(self._shower_seed, middle, lambda hours: self._readiness(passing, hours))

        _, showery = showers.total(cells, middle, east, north)
        rain = self._rain.amount(passing, cells, middle, PERIOD, east, north)
        wetness, damp = self._rain.left_wet(passing, cells, middle, east, north)
        sun_elevation, clear = sky.clear_light(middle)
        cover = self._cover(passing, middle)
        cloud = self._sky.overhead(cover, showery, middle, east, north)
        cloud = np.maximum(cloud, rise(rain / 0.01))
        heat, pool = warmth.remembered(lambda knots: self._balance(passing, knots), middle)
        pool = pool * (1.0 - 0.8 * rise((1.0 - 0.6 * cover) * clear / 300.0))  # the morning sun stirs it away

        air_mass = warmth.season(middle) + 2.4 * self._air_mass(middle)
        unheated = air_mass + fronts.total(passing, Front.warmth, middle, east, north)
        turbulence = 0.15 * rise(clear / 400.0) * (1.0 - cloud) * self._thermals(middle, east, north)
        temperature, dew_point = moisture.moisten(
            unheated + heat + warmth.relief(ground, heat, pool) - 1.2 * showery
            + 0.2 * self._ripples(middle, east, north) + turbulence,
            moisture.carried_dew_point(unheated, self._dryness(middle), (1.0 - 0.6 * cover) * clear, ground),
            damp,
        )  # fmt: skip
        humidity = saturation_vapour_pressure(dew_point) / saturation_vapour_pressure(temperature)

        aloft = self._wind.aloft(passing, middle, east, north)
        breeze = self._wind.near_ground(aloft, pool, heat, showery, middle, (east, north, ground))
        sea_level = MEAN_PRESSURE + 650.0 * self._pressure(middle)
        sea_level = sea_level + fronts.total(passing, Front.pressure, middle, east, north)
        return {
            "air_temperature": temperature,
            "relative_humidity": humidity,
            "dew_point": dew_point,
            "sea_level_pressure": sea_level,
            "station_pressure": _up(sea_level, air_mass, ground),
            "wind_speed": breeze.speed,
            "wind_gust": breeze.gust,
            "wind_from_direction": breeze.from_direction,
            "rain_amount": rain,
            "irradiance": self._sky.sunlight(clear, cloud, middle, east, north),
            "surface_wetness": np.maximum(wetness, 0.7 * rise((humidity - 0.97) / 0.03)),
            "cloud_cover": cloud,
            "sun_elevation": np.broadcast_to(sun_elevation, cloud.shape),
        }

    def fronts(self, seconds: ArrayLike) -> list[Front]:
        """The fronts that can be felt at some of these times, the earliest first."""
        return fronts.near(self._front_seed, seconds)

    def _cover(self, passing: list[Front], seconds: Array) -> Array:
        return self._sky.cover(passing, self._pressure(seconds)[0], seconds)

    def _balance(self, passing: list[Front], seconds: Array) -> Array:
        """What warms the ground [K] and what fills the cold pool [1] at times (k,): shape (2, k)."""
        sun_elevation, clear = sky.clear_light(seconds)
        cloud = self._cover(passing, seconds)
        wind = np.hypot(*self._wind.aloft(passing, seconds))[0]
        return np.stack(
            [
                warmth.ground_heat(clear * sky.through(cloud), cloud, wind),
                warmth.pooling(sun_elevation, cloud, wind),
            ]
        )

    def _readiness(self, passing: list[Front], hours: Array) -> Array:
        """New showers an hour at times (k,): behind a front, and on strong sun through a broken sky."""
        unsettled = fronts.total(passing, Front.unsettled, hours, 0.0, 0.0)[0]
        _, clear = sky.clear_light(hours - 2 * HOUR)
        broken = 4.0 * (cover := self._cover(passing, hours)) * (1.0 - cover)
        return np.asarray(0.02 + 1.6 * unsettled + 0.35 * broken * rise((clear - 450.0) / 400.0))


def _up(sea_level: Array, temperature: Array, elevation: Array) -> Array:
    """Pressure [Pa] at the ground (n,) [m] from that at sea level (n, t), by the hypsometric equation.

    ``temperature`` is that of the deep air mass at the valley floor, shape (1, t): neither the shallow
    pool of cold air nor the thin edge of a front weighs much.
    """
    column = temperature + STANDARD_LAPSE_RATE * (VALLEY_FLOOR - elevation[:, None] / 2)
    return np.asarray(
        sea_level * np.exp(-STANDARD_GRAVITY * elevation[:, None] / (DRY_AIR_GAS_CONSTANT * column))
    )
