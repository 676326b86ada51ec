"""Highest, lowest and total over a period that ends with each reading, at uneven times and without a loop.

A period of ``length`` seconds that ends with the reading at t holds the readings in (t - length, t].
"""

import numpy as np
from numpy.typing import NDArray

from network.quality.window import Bools, Floats, Seconds

Places = NDArray[np.intp]


def since(seconds: Seconds, length: float) -> Places:
    """Where the period that ends with each reading begins: index of its first reading, shape (n,)."""
    every = even(seconds)
    if every:  # ten times faster than a search
        return np.maximum(np.arange(seconds.size) - int(-(-length // every) - 1), 0)
    return np.searchsorted(seconds, seconds - length, side="right")


def until(seconds: Seconds, length: float) -> Places:
    """Index of the last reading no more than ``length`` [s] after each reading, shape (n,)."""
    every = even(seconds)
    if every:
        return np.minimum(np.arange(seconds.size) + int(length // every), seconds.size - 1)
    return np.searchsorted(seconds, seconds + length, side="right") - 1


def even(seconds: Seconds) -> int:
    """The time between two readings [s] where it is always the same, else 0."""
    if seconds.size < 2:
        return 0
    every = int(seconds[1] - seconds[0])
    return every if (seconds[1:] - seconds[:-1] == every).all() else 0


def highest(values: Floats, first: Places, last: Places | None = None) -> Floats:
    """Highest value in each stretch ``first`` .. ``last`` (both included; ``last`` is the reading itself
    where not given), shape of ``values``: (n,), or rows of it. NaN are passed over; a stretch of nothing else
    gives NaN.

    A sparse table: the highest of every stretch of 1, 2, 4 ... readings, of which any stretch is covered
    by two (Bender and Farach-Colton 2000, The LCA problem revisited; from memory).
    """
    if values.size == 0:
        return values.copy()
    size = values.shape[-1]
    last = np.arange(size) if last is None else last
    level = np.frexp(last - first + 1)[1] - 1
    rows = [np.where(np.isnan(values), -np.inf, values)]
    for power in range(int(level.max())):
        rows.append(np.maximum(rows[-1][..., : -1 << power], rows[-1][..., 1 << power :]))
    table, long = np.concatenate(rows, axis=-1), 1 << level
    start = level * (size + 1) - long + 1  # each row is as much shorter than the first as it looks ahead
    found = np.maximum(table.take(start + first, axis=-1), table.take(start + last - long + 1, axis=-1))
    return np.where(found == -np.inf, np.nan, found)


def lowest(values: Floats, first: Places, last: Places | None = None) -> Floats:
    """Lowest value in each stretch, as ``highest``."""
    return -highest(-values, first, last)


def filled(seconds: Seconds, first: Places, length: float, period: float) -> Bools:
    """Where the readings, each of ``period`` [s], reach back over all of ``length`` [s], shape (n,)."""
    reached: Bools = seconds - seconds[first] + period >= length
    return reached


def total(values: Floats | Bools, first: Places, last: Places | None = None) -> Floats:
    """Sum of each stretch, as ``highest``. NaN count as nothing."""
    sums = np.zeros((*values.shape[:-1], values.shape[-1] + 1))
    np.cumsum(np.where(np.isnan(values), 0.0, values), axis=-1, out=sums[..., 1:])
    ends = sums[..., 1:] if last is None else sums.take(last + 1, axis=-1)
    return np.asarray(ends - sums.take(first, axis=-1))


def mean(values: Floats, first: Places) -> Floats:
    """Mean from ``first`` to the reading itself, passing over NaN; NaN where all are. Shape of ``values``."""
    counted = total(np.isfinite(values), first)
    return np.where(counted > 0, total(values, first) / np.maximum(counted, 1), np.nan)


def covered(strain: Floats, first: Places) -> Floats:
    """The highest strain of any period a reading lies in: what is said of a period holds for all of it."""
    last = np.searchsorted(first, np.arange(first.size), side="right") - 1
    return highest(strain, np.arange(first.size), last)
