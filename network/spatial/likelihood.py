"""How well a field explains what the stations said: the restricted likelihood, pooled over times."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.linalg import solve_triangular

from network.spatial.field import Field
from network.spatial.kriging import of_trend
from network.spatial.patterns import patterns
from network.spatial.sites import Sites

Floats = NDArray[np.float64]
Spoken = tuple[Sites, Floats, Floats]  # stations (n), their noise (n,), their values (n, t) without NaN


def by_pattern(sites: Sites, noise: ArrayLike, values: ArrayLike, least: int = 2) -> list[Spoken]:
    """Values (n, t) with NaN as one piece for each set of at least so many stations that spoke together."""
    measured = np.asarray(values, dtype=np.float64)
    own_noise = np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),))
    return [
        (sites[mask], own_noise[mask], measured[np.ix_(mask, times)])
        for mask, times in patterns(np.isfinite(measured))
        if mask.sum() >= least
    ]


def surprise(pieces: Sequence[Spoken], field: Field) -> float:
    """Minus the logarithm of the restricted likelihood, up to a constant; infinite for an impossible field.

    The mean of each time is nobody's business here: it is integrated out, so that few stations do not make
    the field look tamer than it is. Times count as independent of one another.

    Source: Patterson and Thompson (1971), Biometrika 58, 545-554 (from memory); as a Gaussian process,
    Rasmussen and Williams (2006), eq. 2.45.
    """
    return sum(_of_piece(*piece, field) for piece in pieces)


def _of_piece(sites: Sites, noise: Floats, values: Floats, field: Field) -> float:
    lift = sites.elevation - sites.elevation.mean()
    covariance = field.covariance(field.apart(sites, sites))
    covariance += of_trend(field, sites, sites, sites)
    covariance[np.diag_indices(len(sites))] += noise**2
    try:
        triangle = np.linalg.cholesky(covariance)
    except np.linalg.LinAlgError:
        return np.inf
    centred = values - values.mean(axis=0) - field.gradient * lift[:, None]
    both = np.column_stack([np.ones(len(sites)), centred])
    white = solve_triangular(triangle, both, lower=True, check_finite=False)
    ones, half = white[:, 0], white[:, 1:]
    precision = float(ones @ ones)
    misfit = np.sum(half**2) - np.sum((ones @ half) ** 2) / precision
    determinant = np.sum(np.log(np.diag(triangle))) + 0.5 * np.log(precision)
    return float(values.shape[1] * determinant + 0.5 * misfit)
