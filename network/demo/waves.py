"""Smooth random fields, known at any place and moment without knowing the moment before."""

from collections.abc import Callable
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Event = TypeVar("Event")


class Waves:
    """A field of mean 0 and standard deviation 1: many cosines of seeded frequency and phase.

    Values ``lasting`` seconds and ``reach`` metres apart are still akin (a correlation of about 0.6), and
    the whole pattern drifts eastwards with ``drift`` [m/s].

    Source: Rahimi and Recht (2007), Random features for large-scale kernel machines, for the squared
    exponential covariance.
    """

    def __init__(
        self,
        random: np.random.Generator,
        lasting: float,
        reach: float = np.inf,
        drift: float = 0.0,
        count: int = 48,
    ) -> None:
        self.count = count
        self.eastward = random.standard_normal(count) / reach
        self.northward = random.standard_normal(count) / reach
        self.frequency = random.standard_normal(count) / lasting - self.eastward * drift
        self.phase = random.uniform(0.0, 2.0 * np.pi, count)

    def __call__(self, seconds: ArrayLike, east: ArrayLike = 0.0, north: ArrayLike = 0.0) -> Array:
        """The field at times of shape (t,) and places of shape (n,) [m]: shape (n, t)."""
        of_time = np.multiply.outer(self.frequency, np.atleast_1d(seconds).astype(np.float64))
        of_place = np.multiply.outer(np.atleast_1d(east), self.eastward)
        of_place = of_place + np.multiply.outer(np.atleast_1d(north), self.northward) + self.phase
        # cos(a + b) by its addition theorem, so that times and places cost a sum and not a product.
        waves = np.cos(of_place) @ np.cos(of_time) - np.sin(of_place) @ np.sin(of_time)
        return np.asarray(waves * np.sqrt(2.0 / self.count))


def rise(value: ArrayLike) -> Array:
    """From 0 at 0 smoothly to 1 at 1, and level outside; any shape."""
    value = np.clip(value, 0.0, 1.0)
    return np.asarray(value * value * (3.0 - 2.0 * value))


def events(
    seed: int,
    window: float,
    seconds: ArrayLike,
    around: float,
    draw: Callable[[np.random.Generator, float], list[Event]],
) -> list[Event]:
    """What happens up to ``around`` seconds before the first time or after the last, earliest window first.

    Time is cut into windows of ``window`` seconds. Each has its own random numbers, so its events are the
    same whoever asks and whenever. ``draw`` makes them from those numbers and the window's beginning.
    """
    seconds = np.asarray(seconds, dtype=np.float64)
    first, last = int((seconds.min() - around) // window), int((seconds.max() + around) // window)
    found: list[Event] = []
    for index in range(first, last + 1):
        found += draw(np.random.default_rng([seed, index % 2**32]), index * window)
    return found
