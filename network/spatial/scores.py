"""How good estimates were: error is predicted minus observed, so a positive bias is an estimate too high.

Every score takes arrays of one shape, passes over NaN, and gives NaN where nothing is left. With ``axis`` it
scores along that axis; without, all at once.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import erf, ndtri

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Scores:
    """The scores kept with a map: arrays of shape (t,), in the unit of the variable but for the coverages."""

    bias: Floats
    mae: Floats
    rmse: Floats
    coverage: Floats | None = (
        None  # share inside the 90 % interval; None for a method that claims no interval
    )
    half_coverage: Floats | None = None  # share inside the 50 % interval
    crps: Floats | None = None

    def at_times(self, which: NDArray[np.intp]) -> "Scores":
        """These scores in the order of ``which`` (t,)."""
        kept = {name: value[which] for name, value in vars(self).items() if value is not None}
        return Scores(**kept)


def bias(predicted: ArrayLike, observed: ArrayLike, axis: int | None = None) -> Floats:
    """Mean of predicted - observed."""
    return _mean(_error(predicted, observed), axis)


def mae(predicted: ArrayLike, observed: ArrayLike, axis: int | None = None) -> Floats:
    """Mean of the error's size."""
    return _mean(np.abs(_error(predicted, observed)), axis)


def rmse(predicted: ArrayLike, observed: ArrayLike, axis: int | None = None) -> Floats:
    """Square root of the mean squared error."""
    return np.sqrt(_mean(_error(predicted, observed) ** 2, axis))


def coverage(
    predicted: ArrayLike, error: ArrayLike, observed: ArrayLike, share: float = 0.9, axis: int | None = None
) -> Floats:
    """Share of the observed values inside the interval that should hold ``share`` of them.

    ``error`` is the standard error of predicted - observed: for a station's own value, its noise included.
    """
    miss = np.abs(_error(predicted, observed)) / np.asarray(error, dtype=np.float64)
    return _mean(np.where(np.isnan(miss), np.nan, miss <= ndtri((1 + share) / 2)), axis)


def crps_gaussian(
    predicted: ArrayLike, error: ArrayLike, observed: ArrayLike, axis: int | None = None
) -> Floats:
    """Mean continuous ranked probability score of Gaussian estimates; 0 is perfect [unit of the variable].

    Source: Gneiting and Raftery (2007), J. American Statistical Association 102, eq. 21 (sign turned; from
    memory).
    """
    sd = np.asarray(error, dtype=np.float64)
    z = -_error(predicted, observed) / sd
    density = np.exp(-(z**2) / 2) / np.sqrt(2 * np.pi)
    return _mean(sd * (z * erf(z / np.sqrt(2)) + 2 * density - 1 / np.sqrt(np.pi)), axis)


def score(predicted: ArrayLike, observed: ArrayLike, error: ArrayLike | None = None) -> Scores:
    """The scores of each time, from arrays of shape (n, t)."""
    plain = bias(predicted, observed, 0), mae(predicted, observed, 0), rmse(predicted, observed, 0)
    if error is None:
        return Scores(*plain)
    return Scores(
        *plain,
        coverage(predicted, error, observed, axis=0),
        coverage(predicted, error, observed, share=0.5, axis=0),
        crps_gaussian(predicted, error, observed, axis=0),
    )


def _error(predicted: ArrayLike, observed: ArrayLike) -> Floats:
    return np.asarray(predicted, dtype=np.float64) - np.asarray(observed, dtype=np.float64)


def _mean(values: Floats, axis: int | None) -> Floats:
    """Mean without the missing; NaN, and no warning, where all are."""
    present = ~np.isnan(values)
    with np.errstate(invalid="ignore"):
        return np.asarray(np.where(present, values, 0.0).sum(axis) / present.sum(axis))
