"""How much of the sun what stands around takes away, from the sun's paths over a year."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from network.science.siting.surroundings import DIRECTIONS, Obstacle
from network.science.sun import solar_position

Floats = NDArray[np.float64]

STEP = 900
"""[s] Between two places of the sun."""

EVERY = 5
"""Days between two days looked at."""


def highest_shade(obstacles: tuple[Obstacle, ...], latitude: float, above: float) -> float:
    """The highest the sun ever stands behind an obstacle, seen from ``above`` metres [deg]; 0 if it never does."""
    elevation, behind = _hidden(obstacles, latitude, above)
    return float(np.max(elevation[behind], initial=0.0))


def worst_share(obstacles: tuple[Obstacle, ...], latitude: float, above: float) -> float:
    """How much of the daytime the obstacles take away on the worst day of the year [1]."""
    elevation, behind = _hidden(obstacles, latitude, above)
    day = (elevation > 0).sum(axis=1)
    taken = behind.sum(axis=1)
    return float(np.max(taken[day > 0] / day[day > 0], initial=0.0))


def _hidden(
    obstacles: tuple[Obstacle, ...], latitude: float, above: float
) -> tuple[Floats, NDArray[np.bool_]]:
    """The sun's elevation by day and time, and where an obstacle is before it."""
    elevation, azimuth = _year(round(latitude, 1))
    horizon = np.zeros(len(DIRECTIONS))
    for one in obstacles:
        place = round(DIRECTIONS[one.direction] / 45.0)
        horizon[place] = max(horizon[place], one.elevation(above))
    eighth = np.floor((azimuth + 22.5) / 45.0).astype(np.intp) % len(DIRECTIONS)
    behind: NDArray[np.bool_] = (elevation > 0) & (elevation < horizon[eighth])
    return elevation, behind


@lru_cache(maxsize=64)
def _year(latitude: float) -> tuple[Floats, Floats]:
    """Elevation and azimuth of the sun [deg], a row for each day looked at."""
    begins = int(np.datetime64("2026-01-01", "s").astype(np.int64))
    days = begins + 86400 * np.arange(0, 365, EVERY)
    return solar_position(days[:, None] + np.arange(0, 86400, STEP), latitude, 0.0)
