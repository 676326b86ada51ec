"""The sky: how much cloud covers it, and how much sunlight comes through."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.demo import fronts
from network.demo.fronts import Front
from network.demo.terrain import LATITUDE, LONGITUDE
from network.demo.waves import Waves
from network.science.sun import clear_sky_irradiance, solar_position

Array = NDArray[np.float64]

HOUR = 3600.0


class Sky:
    """Cloud over the village: the day's cover, and the patches that drift across."""

    def __init__(self, random: np.random.Generator) -> None:
        self._days = Waves(random, lasting=9 * HOUR)
        self._patches = Waves(random, lasting=25 * 60.0, reach=1100.0, drift=5.0)
        self._depth = Waves(random, lasting=70 * 60.0, reach=4000.0, drift=5.0)

    def cover(self, passing: list[Front], anomaly: Array, seconds: Array) -> Array:
        """[1] Cloud over the whole valley at times (t,).

        High pressure clears the sky and a front fills it. ``anomaly`` (t,) is that of the pressure in
        standard deviations.
        """
        settled = np.clip(0.5 + 0.8 * self._days(seconds)[0] - 0.3 * anomaly, 0.0, 1.0)
        frontal = fronts.total(passing, Front.cloud, seconds, 0.0, 0.0)[0]
        return np.asarray(1.0 - (1.0 - settled) * (1.0 - np.clip(frontal, 0.0, 1.0)))

    def overhead(
        self, cover: Array, showers: Array, seconds: Array, east: ArrayLike, north: ArrayLike
    ) -> Array:
        """[1] Cloud above each place: shape (n, t), from the cover (t,) and the showers (n, t)."""
        patches = self._patches(seconds, east, north)
        broken = np.clip(0.5 + 0.9 * (patches + 5.5 * (cover - 0.5)), 0.0, 1.0)
        return np.asarray(1.0 - (1.0 - broken) * (1.0 - np.clip(1.5 * showers, 0.0, 1.0)))

    def sunlight(
        self, clear: Array, cloud: Array, seconds: Array, east: ArrayLike, north: ArrayLike
    ) -> Array:
        """[W/m2] What of a clear sky's light (t,) comes through the cloud (n, t): shape (n, t)."""
        thickness = np.exp(0.3 * self._depth(seconds, east, north))
        return np.asarray(clear * through(cloud) ** thickness)


def clear_light(seconds: Array) -> tuple[Array, Array]:
    """The sun's elevation [deg] and the irradiance of a clear sky [W/m2] over the village at times (t,)."""
    elevation, _ = solar_position(seconds, LATITUDE, LONGITUDE)
    return elevation, clear_sky_irradiance(elevation)


def through(cloud: ArrayLike) -> Array:
    """The share of sunlight [1] that comes through a cover of cloud [1], any shape.

    Source: Kasten and Czeplak (1980), Solar and terrestrial radiation dependent on the amount and type of
    cloud, from memory.
    """
    return np.asarray(1.0 - 0.75 * np.asarray(cloud, dtype=np.float64) ** 3.4)
