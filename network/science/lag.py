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
    besides = np.zeros_like(values) if nuisance is None else np.asarray(nuisance, dtype=np.float64)
    there, seen = np.isfinite(values) & np.isfinite(besides), np.isfinite(reference)
    own, other, theirs = _centred(values, there), _centred(besides, there), _centred(reference, seen)
    k, n = values.shape[1], reference.shape[1]
    # Sums of products at every lag at once, as products of spectra: what is missing is 0 in each of them.
    one, v, vv, b, bb, vb = np.conj(
        np.fft.rfft(np.stack([there, own, own**2, other, other**2, own * other]), n)
    )
    seen_, r, rr = np.fft.rfft(np.stack([seen, theirs, theirs**2]))
    sums = np.stack(
        [
            one * seen_,
            v * seen_ - one * r,
            vv * seen_ - 2 * v * r + one * rr,
            b * seen_,
            bb * seen_,
            vb * seen_ - b * r,
        ]
    )
    count, *sums_of = np.fft.irfft(sums, n)[..., : n - k + 1]
    count = np.rint(count)
    apart, square, besides, spread, shared = sums_of / np.maximum(count, 1)
    square -= apart**2
    spread -= besides**2
    shared -= apart * besides
    varies = spread > 1e-9 * (other**2).max(axis=1, keepdims=True)
    explained = np.where(varies, shared**2 / np.where(varies, spread, 1.0), 0.0)
    return np.where(count >= 2 / 3 * k, square - explained, np.nan)


def _centred(rows: Array, there: NDArray[np.bool_]) -> Array:
    """Each row without its mean, and 0 where it is missing: no constant matters, but large ones cost digits."""
    mean = np.where(there, rows, 0.0).sum(axis=1) / np.maximum(there.sum(axis=1), 1)
    return np.where(there, rows - mean[:, None], 0.0)


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
