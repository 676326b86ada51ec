"""Showers: cells of rain that drift across the village, wetting one side of it and missing the other."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.demo.waves import events

Array = NDArray[np.float64]

HOUR = 3600.0
REACH = 4 * HOUR
"""[s] Room around a cell: it is felt for an hour or two, and leaves surfaces wet for two more."""


@dataclass(frozen=True)
class Cell:
    """One shower, moving in a straight line and fading at both ends of its life."""

    nearest: float  # when it is nearest the middle of the village, epoch seconds
    aside: float  # [m] how far to the left of the middle its path lies
    heading: float  # the direction it moves to [rad], clockwise from north
    speed: float  # [m/s]
    radius: float  # [m]
    life: float  # [s]
    peak: float  # [mm/h]

    def presence(self, seconds: Array, east: ArrayLike, north: ArrayLike, spread: float = 1.0) -> Array:
        """[1] How much of the cell is overhead, for times (t,) and places (n,) [m]: shape (n, t).

        ``spread`` widens it: its cloud and its cool outflow reach further than its rain.
        """
        since = seconds - self.nearest
        ahead, left = np.array([np.sin(self.heading), np.cos(self.heading)]), self.aside
        along = np.atleast_1d(east) * ahead[0] + np.atleast_1d(north) * ahead[1]
        across = np.atleast_1d(north) * ahead[0] - np.atleast_1d(east) * ahead[1] - left
        squared = np.subtract.outer(along, self.speed * since) ** 2 + across[:, None] ** 2
        return np.asarray(np.exp(-squared / (2 * (spread * self.radius) ** 2) - (since / self.life) ** 2))


def near(seed: int, seconds: ArrayLike, readiness: Callable[[Array], Array]) -> list[Cell]:
    """The cells that can be felt at some of these times.

    ``readiness`` says, for times of shape (t,), how many new cells an hour the air brings.
    """
    seconds = np.asarray(seconds, dtype=np.float64)
    hours = np.arange((seconds.min() - REACH) // HOUR, (seconds.max() + REACH) // HOUR + 1) * HOUR
    expected = dict(zip(hours.tolist(), readiness(hours).tolist(), strict=True))
    return events(seed, HOUR, seconds, REACH, lambda random, begins: _draw(random, begins, expected[begins]))


def total(cells: list[Cell], seconds: ArrayLike, east: ArrayLike, north: ArrayLike) -> tuple[Array, Array]:
    """Rain [mm/h] and the wider presence [1] of showers at times (t,) and places (n,): shapes (n, t)."""
    seconds = np.atleast_1d(seconds).astype(np.float64)
    rain = np.zeros((np.size(east), seconds.size))
    presence = np.zeros_like(rain)
    for cell in cells:
        felt = np.flatnonzero(np.abs(seconds - cell.nearest) < REACH)
        if felt.size:
            here = cell.presence(seconds[felt], east, north)
            rain[:, felt] += cell.peak * np.where(here > 0.03, here, 0.0)
            wider = cell.presence(seconds[felt], east, north, spread=2.0)
            presence[:, felt] = np.maximum(presence[:, felt], wider)
    return rain, presence


def _draw(random: np.random.Generator, begins: float, expected: float) -> list[Cell]:
    return [
        Cell(
            nearest=begins + random.uniform(0.0, HOUR),
            aside=random.uniform(-2200.0, 2200.0),
            heading=np.radians(random.uniform(60.0, 130.0)),
            speed=random.uniform(2.5, 6.0),
            radius=random.uniform(450.0, 1100.0),
            life=random.uniform(12.0, 30.0) * 60.0,
            peak=random.uniform(2.0, 6.0) + random.exponential(4.0),
        )
        for _ in range(random.poisson(expected))
    ]
