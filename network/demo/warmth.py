"""Warmth: the season, the heat the ground took in and gave off, and the cold pool of clear, calm nights."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.demo.terrain import VALLEY_FLOOR
from network.demo.waves import rise
from network.science.constants import ZERO_CELSIUS

Array = NDArray[np.float64]

KNOT = 1800.0
"""[s] The past is remembered at moments this far apart, fixed on the clock."""

FADE = 4.5 * 3600.0
"""[s] After this time the ground has lost all but a third of what it took in."""

REMEMBERED = 48
"""Knots: a day."""


def season(seconds: Array) -> Array:
    """[K] Mean temperature of the valley at the time of year, before its sun and its nights."""
    day = seconds / 86400.0 % 365.2425
    return ZERO_CELSIUS + 8.6 - 8.2 * np.cos(2 * np.pi * (day - 18.0) / 365.2425)


def ground_heat(sunlight: Array, cloud: Array, wind: Array) -> Array:
    """[K] How much a steady balance of light and loss would warm the air; times of shape (t,).

    The same loss cools the shallow air of a still night far more than the deep air of a day or a gale.
    """
    balance = 0.8 * sunlight - 90.0 * (1.0 - 0.8 * cloud)
    gain, loss = np.maximum(balance, 0.0), np.maximum(-balance, 0.0)
    return np.asarray(0.034 * gain / (1.0 + gain / 450.0) - 0.05 * loss / (1.0 + (wind / 5.0) ** 2))


def pooling(sun_elevation: Array, cloud: Array, wind: Array) -> Array:
    """[1] How strongly cold air gathers in the hollow at times (t,): on clear, calm nights."""
    night = rise((4.0 - sun_elevation) / 8.0)
    return np.asarray(night * (1.0 - cloud) / (1.0 + (wind / 3.0) ** 2))


def remembered(flux: Callable[[Array], Array], seconds: ArrayLike) -> Array:
    """What is left at times (t,) of what ``flux`` did over the day before, as a fading mean.

    ``flux`` takes times (k,) and returns (rows, k); the result has shape (rows, t). Asked at fixed
    moments, so that an hour alone and the same hour within a month come out alike.
    """
    seconds = np.atleast_1d(seconds).astype(np.float64)
    here = np.floor(seconds / KNOT).astype(np.int64)
    ends = np.unique(np.concatenate([here, here + 1]))
    knots = np.unique(np.add.outer(ends, -np.arange(REMEMBERED)))
    acted = flux(knots * KNOT)
    weights = np.exp(-np.arange(REMEMBERED) * KNOT / FADE)
    weights /= weights.sum()
    left = np.zeros((acted.shape[0], ends.size))
    for lag, weight in enumerate(weights):
        left += weight * acted[:, np.searchsorted(knots, ends - lag)]
    share = seconds / KNOT - here
    before, after = np.searchsorted(ends, here), np.searchsorted(ends, here + 1)
    return (1.0 - share) * left[:, before] + share * left[:, after]


def relief(elevation: ArrayLike, heating: Array, pool: Array) -> Array:
    """[K] What height adds: shape (n, t), from elevations (n,) [m], heating [K] and the pool [1], both (t,).

    By day the air is stirred and cools with height, faster in sunshine; the cold pool fills the lowest 30 m.
    """
    above = np.atleast_1d(np.asarray(elevation, dtype=np.float64) - VALLEY_FLOOR)[:, None]
    lapse = 0.0062 + 0.0005 * np.clip(heating, -2.0, 6.0)
    cold_air = 8.0 * np.exp(-((above / 38.0) ** 1.3)) - 1.2 * np.exp(-(((above - 95.0) / 50.0) ** 2))
    return np.asarray(-lapse * above - pool * cold_air)
