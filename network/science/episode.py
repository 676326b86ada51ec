"""The stretch of a series that stands out most from nothing."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike


class Stretch(NamedTuple):
    """A stretch of a series and the level on it."""

    first: int
    last: int
    """Both included."""
    level: float
    error: float
    """Standard error of the level, the unit of the series."""


def episode(values: ArrayLike, errors: ArrayLike, lasting: float = 0.0, least: int = 1) -> Stretch | None:
    """The stretch that one level other than 0 explains best, by its likelihood.

    Parameters
    ----------
    values, errors : array_like, shape (n,)
        A series that should be 0, and its standard errors, in one unit. Either NaN says nothing.
    lasting : float
        [1] The share of an error that does not average out, being the same every time.
    least : int
        How many values must speak.

    Returns
    -------
    Stretch or None
        None where fewer than ``least`` values speak.

    Source: the likelihood ratio for an epidemic change, Levin and Kline (1985), Statistics in Medicine 4,
    469-488, from memory.
    """
    values, errors = np.asarray(values, dtype=np.float64), np.asarray(errors, dtype=np.float64)
    speaks = np.isfinite(values) & np.isfinite(errors)
    if speaks.sum() < least:
        return None
    at = np.flatnonzero(speaks)
    weight = 1.0 / errors[at] ** 2
    weights = _sums(weight)
    moments = _sums(weight * values[at])
    count = _sums(np.ones(at.size))
    with np.errstate(divide="ignore", invalid="ignore"):
        gain = np.where(count >= least, moments**2 / weights, -np.inf)
    first, last = np.unravel_index(int(np.argmax(gain)), gain.shape)
    total, n = weights[first, last], count[first, last]
    one = np.sqrt(n / total)  # the error of a typical one of them
    error = one * np.sqrt(lasting**2 + (1 - lasting**2) / n)
    return Stretch(int(at[first]), int(at[last]), float(moments[first, last] / total), float(error))


def _sums(values: np.ndarray) -> np.ndarray:
    """Sum from each place to each, both included, shape (n, n); 0 where the second is before the first."""
    running = np.concatenate([[0.0], np.cumsum(values)])
    return np.triu(running[None, 1:] - running[:-1, None])
