"""What daylight says of a clock: when the day begins and ends in a light sensor, and when it should."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


class Shift(NamedTuple):
    """How far a clock is behind, by day: each of shape (days,), NaN where the day cannot tell."""

    behind: Array
    """Positive where the clock is slow."""
    error: Array
    """Standard error."""


def day_edges(brightness: ArrayLike, level: ArrayLike) -> tuple[Array, Array]:
    """When each day rises through a level of brightness, and when it falls through it again.

    Parameters
    ----------
    brightness : array_like, shape (days, k)
        A day a row, from midnight to midnight by the sun: the sun's elevation, or the logarithm of a sensor's
        light, which near the horizon runs straighter than the light itself. Any unit.
    level : array_like, a number or shape (days,)
        In the unit of ``brightness``.

    Returns
    -------
    rises, falls : ndarray, shape (days,)
        [columns] from the row's first value, by a straight line between two values. Looked for from the
        middle of the day outwards, so that a lamp at night is passed over. NaN where the middle is dark, or
        where the crossing is missing or never comes.
    """
    above = np.asarray(brightness, dtype=np.float64) - np.reshape(
        np.asarray(level, dtype=np.float64), (-1, 1)
    )
    middle = above.shape[1] // 2
    return middle - 1 - _lasts(above[:, middle - 1 :: -1]), middle + _lasts(above[:, middle:])


def noon_shift(rises: ArrayLike, falls: ArrayLike, should_rise: ArrayLike, should_fall: ArrayLike) -> Shift:
    """How far a clock is behind, from when each day began and ended by it and when it should have.

    All arguments have shape (days,) and one unit, and so has the result. A slow clock stamps both too early,
    by as much. Cloud and shade delay the one and bring the other forward. Where they do not do so alike, they
    move the middle of the day by no more than half of what they take from its length; that half is the error.
    One station alone suffices.

    Source: equal altitudes, as navigators find noon; the error is common practice.
    """
    early = np.asarray(should_rise, dtype=np.float64) - np.asarray(rises, dtype=np.float64)
    late = np.asarray(should_fall, dtype=np.float64) - np.asarray(falls, dtype=np.float64)
    return Shift((early + late) / 2, np.abs(late - early) / 2)


def _lasts(above: Array) -> Array:
    """For how many columns each row stays above 0, counted from its first; NaN where it never is or ceases."""
    below = ~(above > 0)
    at = np.argmax(below, axis=1)
    row = np.arange(len(above))
    last, first = above[row, np.maximum(at - 1, 0)], above[row, at]
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = at - 1 + last / (last - first)
    return np.where(below.any(axis=1) & (at > 0), crossing, np.nan)
