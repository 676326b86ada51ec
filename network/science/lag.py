"""By how much one series runs behind another that saw the same weather."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.daylight import Shift

Array = NDArray[np.float64]


def misfit_by_lag(values: ArrayLike, reference: ArrayLike, nuisance: ArrayLike | None = None) -> Array:
    """How badly a series fits another at each lag, row by row.

    Parameters
    ----------
    values : array_like, shape (rows, k)
        Any unit, evenly spaced.
    reference : array_like, shape (rows, k + 2 * reach)
        The same unit and spacing; column ``reach`` is of the moment of the first of ``values``.
    nuisance : array_like, shape (rows, k), optional
        Something else that may be in ``values``, in any amount: sunshine on a thermometer.

    Returns
    -------
    ndarray, shape (rows, 2 * reach + 1)
        Mean square of what is left, in the square of the unit, once a constant and as much of the nuisance
        as fits best are taken away: for the lags -reach .. reach. At a lag of 1 the values are held against
        the reference one step later. NaN where less than two thirds of the row can be compared.
    """
    values, reference = np.asarray(values, dtype=np.float64), np.asarray(reference, dtype=np.float64)
    k = values.shape[1]
    besides = np.zeros_like(values) if nuisance is None else np.asarray(nuisance, dtype=np.float64)
    misfit = np.full((values.shape[0], reference.shape[1] - k + 1), np.nan)
    for lag in range(misfit.shape[1]):
        apart = values - reference[:, lag : lag + k]
        there = np.isfinite(apart) & np.isfinite(besides)
        count = there.sum(axis=1)
        share = np.maximum(count, 1)
        apart, other = np.where(there, apart, 0.0), np.where(there, besides, 0.0)
        square = (apart**2).sum(axis=1) / share - (apart.sum(axis=1) / share) ** 2
        spread = (other**2).sum(axis=1) / share - (other.sum(axis=1) / share) ** 2
        shared = (apart * other).sum(axis=1) / share - apart.sum(axis=1) * other.sum(axis=1) / share**2
        explained = np.where(spread > 0, shared**2 / np.where(spread > 0, spread, 1.0), 0.0)
        misfit[:, lag] = np.where(count >= 2 / 3 * k, square - explained, np.nan)
    return misfit


def best_lag(misfit: ArrayLike, independent: float) -> Shift:
    """The lag at which each row fits best, between whole steps, and its standard error.

    Parameters
    ----------
    misfit : array_like, shape (rows, 2 * reach + 1)
        As ``misfit_by_lag`` gives it.
    independent : float
        How many values of a row tell something of their own: fewer than it has where errors last.

    Returns
    -------
    Shift, each of shape (rows,)
        [steps] The vertex of the parabola through the least misfit and those beside it; its error is that of
        least squares, from the curvature there. NaN where the best is at either end of the lags.
    """
    misfit = np.asarray(misfit, dtype=np.float64)
    reach = misfit.shape[1] // 2
    seen = np.isfinite(misfit).all(axis=1)
    at = np.argmin(np.where(seen[:, None], misfit, 0.0), axis=1)
    seen &= (at > 0) & (at < misfit.shape[1] - 1)
    row, at = np.arange(len(misfit)), np.clip(at, 1, misfit.shape[1] - 2)
    before, least, after = misfit[row, at - 1], misfit[row, at], misfit[row, at + 1]
    curvature = before - 2 * least + after
    seen &= curvature > 0
    curvature = np.where(seen, curvature, np.nan)
    vertex = at - reach + (before - after) / 2 / curvature
    # Of a sum of squares S the variance of the minimum is 2 s2 / S'', with s2 the variance of what is left.
    return Shift(vertex, np.sqrt(2 * np.maximum(least, 0.0) / curvature / independent))
