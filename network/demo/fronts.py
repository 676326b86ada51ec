"""Fronts: lines that cross the village in a few minutes and change its air, wind, cloud and pressure."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.demo.waves import events, rise

Array = NDArray[np.float64]

HOUR = 3600.0
DAYS_A_FRONT = 2.5
REACH = 72 * HOUR
"""[s] No front is felt this long before it or after it."""


@dataclass(frozen=True)
class Front:
    """A cold front. ``age`` below is the time since it passed a place [s], negative before."""

    arrival: float  # in the middle of the village, epoch seconds
    heading: float  # the direction it moves to [rad], clockwise from north
    speed: float  # [m/s]
    cooling: float  # [K]
    trough: float  # [Pa]
    rain: float  # [mm/h] in its band
    band: float  # [s] how long the band lasts before the line
    wind: float  # [m/s]

    def age(self, seconds: ArrayLike, east: ArrayLike, north: ArrayLike) -> Array:
        """Time since it passed [s], for times (t,) and places (n,) [m]: shape (n, t)."""
        along = np.atleast_1d(east) * np.sin(self.heading) + np.atleast_1d(north) * np.cos(self.heading)
        return np.asarray(np.subtract.outer(-along / self.speed, self.arrival - np.atleast_1d(seconds)))

    def warmth(self, age: Array) -> Array:
        """[K] Warm air drawn in ahead of it, cold air behind, and the change itself within minutes."""
        passed = _passed(age)
        return self.cooling * (
            0.5 * (1 - passed) * _ahead(age, 26 * HOUR) - 0.5 * passed * _behind(age, 60 * HOUR)
        )

    def pressure(self, age: Array) -> Array:
        """[Pa] The trough: a slow fall, a brisk rise."""
        fall, recovery = _ahead(age, 34 * HOUR) ** 1.5, _behind(age, 22 * HOUR) ** 1.5
        return -self.trough * np.where(age < 0, fall, recovery)

    def cloud(self, age: Array) -> Array:
        """[1] Cover that thickens ahead of it and breaks behind."""
        return rise((age + 11 * HOUR) / (7 * HOUR)) * _behind(age - 0.5 * HOUR, 3 * HOUR)

    def rainfall(self, age: Array) -> Array:
        """[mm/h] A band of rain, heaviest along the line itself."""
        band = rise((age + self.band) / self.band) * _behind(age, 0.6 * HOUR)
        return self.rain * (band + 2.0 * np.exp(-((age / 420.0) ** 2)) * (np.abs(age) < HOUR))

    def wind_east(self, age: Array) -> Array:
        """[m/s] From the south-west ahead of it, from the north-west behind."""
        return self.wind * (
            0.5 * _before(age, 16 * HOUR) + 0.85 * _after(age, 26 * HOUR) + 0.5 * _squall(age)
        )

    def wind_north(self, age: Array) -> Array:
        """[m/s] Towards north."""
        return self.wind * (
            0.85 * _before(age, 16 * HOUR) - 0.5 * _after(age, 26 * HOUR) - 0.3 * _squall(age)
        )

    def unsettled(self, age: Array) -> Array:
        """[1] How ready the cold air behind it is to shower."""
        return rise((age - 0.7 * HOUR) / HOUR) * _behind(age, 20 * HOUR)


def near(seed: int, seconds: ArrayLike) -> list[Front]:
    """The fronts that can be felt at some of these times."""
    return events(seed, DAYS_A_FRONT * 24 * HOUR, seconds, REACH, _draw)


def total(
    fronts: list[Front],
    effect: Callable[[Front, Array], Array],
    seconds: ArrayLike,
    east: ArrayLike,
    north: ArrayLike,
) -> Array:
    """The summed effect of fronts, such as ``Front.warmth``, at times (t,) and places (n,): shape (n, t)."""
    seconds = np.atleast_1d(seconds)
    summed = np.zeros((np.size(east), seconds.size))
    for front in fronts:
        felt = np.flatnonzero(np.abs(seconds - front.arrival) < REACH)
        if felt.size:
            summed[:, felt] += effect(front, front.age(seconds[felt], east, north))
    return summed


def _draw(random: np.random.Generator, begins: float) -> list[Front]:
    front = Front(
        arrival=begins + random.uniform(0.0, DAYS_A_FRONT * 24 * HOUR),
        heading=np.radians(random.uniform(75.0, 135.0)),
        speed=random.uniform(5.0, 10.0),
        cooling=random.uniform(2.5, 7.0),
        trough=random.uniform(300.0, 1000.0),
        rain=random.uniform(0.5, 2.5),
        band=random.uniform(1.0, 4.0) * HOUR,
        wind=random.uniform(2.0, 5.0),
    )
    return [front] if random.random() < 0.75 else []  # now and then a settled spell


def _passed(age: Array) -> Array:
    return 0.5 + 0.5 * np.tanh(age / 300.0)


def _ahead(age: Array, length: float) -> Array:
    return rise(1.0 + age / length)


def _behind(age: Array, length: float) -> Array:
    return rise(1.0 - age / length)


def _before(age: Array, length: float) -> Array:
    return (1.0 - _passed(age)) * _ahead(age, length)


def _after(age: Array, length: float) -> Array:
    return _passed(age) * _behind(age, length)


def _squall(age: Array) -> Array:
    return np.exp(-((age / 500.0) ** 2)) * (np.abs(age) < HOUR)
