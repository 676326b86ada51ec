"""Wind: the day's wind over the valley, what the relief makes of it, and its gusts."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.demo import fronts
from network.demo.fronts import Front
from network.demo.terrain import VALLEY_FLOOR
from network.demo.waves import Waves

Array = NDArray[np.float64]

HOUR = 3600.0
CALM = 0.1
"""[m/s] Slower air comes from nowhere."""


@dataclass(frozen=True)
class Breeze:
    """Wind ten metres above open ground: shapes (n, t)."""

    speed: Array  # [m/s]
    gust: Array  # [m/s]
    from_direction: Array  # [deg], above 0 up to 360; NaN in a calm


class Wind:
    """The moving air over the village."""

    def __init__(self, random: np.random.Generator) -> None:
        self._days_east = Waves(random, lasting=16 * HOUR)
        self._days_north = Waves(random, lasting=16 * HOUR)
        self._eddies = Waves(random, lasting=420.0, reach=350.0)
        self._bursts = Waves(random, lasting=180.0, reach=150.0)
        self._swings = Waves(random, lasting=500.0, reach=350.0)

    def aloft(
        self, passing: list[Front], seconds: Array, east: ArrayLike = 0.0, north: ArrayLike = 0.0
    ) -> tuple[Array, Array]:
        """The wind above the relief, towards east and towards north [m/s]: shapes (n, t)."""
        eastward = (
            1.2
            + 2.3 * self._days_east(seconds)
            + fronts.total(passing, Front.wind_east, seconds, east, north)
        )
        northward = (
            0.4
            + 1.6 * self._days_north(seconds)
            + fronts.total(passing, Front.wind_north, seconds, east, north)
        )
        return eastward, northward

    def near_ground(
        self,
        aloft: tuple[Array, Array],
        pool: Array,
        heating: Array,
        showers: Array,
        seconds: Array,
        place: tuple[ArrayLike, ArrayLike, ArrayLike],
    ) -> Breeze:
        """Wind at places (east, north, elevation), each (n,) [m], from the wind aloft (n, t).

        The hill has more of it than the floor, the valley turns it along itself, the cold pool (t,) lies
        still but for a slow draught downhill, sunshine stirs it, and showers (n, t) bring bursts.
        """
        east, north, elevation = place
        above = np.atleast_1d(np.asarray(elevation, dtype=np.float64) - VALLEY_FLOOR)[:, None]
        exposure = 0.55 + 0.45 * above / 150.0
        stillness = 1.0 - 0.75 * np.clip(1.6 * pool, 0.0, 1.0) * np.exp(-above / 70.0)
        stirring = exposure * stillness * (1.0 + 0.05 * np.clip(heating, -2.0, 5.0))
        eastward = stirring * aloft[0] - 0.5 * pool * np.exp(-above / 40.0)
        northward = stirring * aloft[1] * (1.0 - 0.4 * np.exp(-above / 40.0)) - 0.4 * pool * np.exp(
            -above / 90.0
        )

        roughness = 0.24 - 0.06 * above / 150.0
        eddies = 1.0 + roughness * self._eddies(seconds, east, north)
        speed = np.hypot(eastward, northward) * np.clip(eddies, 0.3, None)
        bursts = np.exp(0.3 * self._bursts(seconds, east, north))
        gust = speed * (1.0 + 2.6 * roughness * bursts) + 5.0 * showers * exposure * bursts
        swings = (14.0 / (1.0 + 0.15 * speed) + 8.0) * self._swings(seconds, east, north)
        towards = np.degrees(np.arctan2(eastward, northward)) + swings
        direction = (towards + 180.0) % 360.0
        direction = np.where(direction == 0.0, 360.0, direction)
        return Breeze(speed, gust, np.where(speed < CALM, np.nan, direction))
