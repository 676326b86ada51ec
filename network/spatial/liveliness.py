"""How much livelier a time is than those learnt from: a field's spread follows the hour.

A calm clear night spreads a village's temperatures wider than a windy one, though both are nights. The
stations of the moment say which it is, as far as so few can, and the interval follows them.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import f as f_distribution

from network.spatial.field import Field
from network.spatial.kriging import factorise
from network.spatial.likelihood import Spoken
from network.spatial.sites import Sites

STEADY = np.inf
TRIED = (2.0, 4.0, 8.0, 16.0, 32.0, 64.0)  # degrees of freedom

Floats = NDArray[np.float64]


def misfit(sites: Sites, noise: ArrayLike, field: Field, values: ArrayLike) -> Floats:
    """The sum of squares of what stations (n, t) say, whitened, shape (t,): n - 1 on average, if all is usual."""
    factor = factorise(sites, noise, field)
    lift = field.gradient * (sites.elevation - sites.elevation.mean())
    half = factor.whiten @ (np.asarray(values, dtype=np.float64) - lift[:, None])
    squares = np.sum(half**2, axis=0) - (factor.ones @ half) ** 2 / factor.precision
    return np.asarray(np.maximum(squares, 0.0))


def scale(squares: ArrayLike, freedom: int, steadiness: float) -> Floats:
    """The factor on standard errors at times of such a misfit, from so many degrees of freedom.

    ``steadiness`` is how many degrees of freedom the usual spread counts as; infinite, nothing follows the
    hour. Else it never counts for more than the stations of the hour: tomorrow may be unlike all that was learnt.

    Source: Shah, Wilson and Ghahramani (2014), Student-t processes as alternatives to Gaussian processes,
    AISTATS, eq. 5 (from memory).
    """
    sums = np.asarray(squares, dtype=np.float64)
    if np.isinf(steadiness):
        return np.ones(sums.shape)
    usual = min(steadiness, float(freedom))
    return np.asarray(np.sqrt((usual + sums) / (usual + freedom)))


def steadiness(pieces: Sequence[Spoken], field: Field) -> float:
    """The likeliest steadiness of the times in the pieces: their misfits are F-distributed about the usual."""
    seen = [(misfit(sites, noise, field, values), len(sites) - 1) for sites, noise, values in pieces]

    def likelihood(usual: float) -> float:
        return sum(float(np.sum(f_distribution.logpdf(sums / n, n, usual))) for sums, n in seen)

    return max(TRIED, key=likelihood)
