"""The semivariogram: how fast values grow unlike with distance, counted in bins and fitted with a field."""

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import least_squares
from scipy.spatial.distance import pdist

from network.spatial.field import Field
from network.spatial.sites import Sites

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Variogram:
    """The bins that hold any pairs: three arrays of one shape (b,)."""

    pairs: NDArray[np.intp]
    distance: Floats  # mean over the pairs [m]
    semivariance: Floats  # half the mean squared difference [unit squared]


def semivariogram(sites: Sites, values: ArrayLike, edges: ArrayLike) -> Variogram:
    """The empirical semivariogram of values (n,), or (n, t) pooled over times; NaN is passed over.

    ``edges`` [m] rise, and each bin holds its upper edge but not its lower one. A pair counts once for every
    time at which both stations speak.

    Source: Matheron's estimator, in Cressie (1993), Statistics for Spatial Data, eq. 2.4.2.
    """
    measured = np.asarray(values, dtype=np.float64).reshape(len(sites), -1)
    first, second = np.triu_indices(len(sites), 1)
    distance = pdist(sites.plane)
    squared = (measured[first] - measured[second]) ** 2
    known = np.isfinite(squared).sum(axis=1)
    limits = np.asarray(edges, dtype=np.float64)
    where = np.searchsorted(limits, distance) - 1
    inside = (where >= 0) & (where < limits.size - 1) & (known > 0)

    def total(of_pairs: Floats) -> Floats:
        counted = np.bincount(where[inside], weights=of_pairs[inside], minlength=limits.size - 1)
        return counted.astype(np.float64)

    pairs = total(known.astype(np.float64))
    some = pairs > 0
    mean_distance = total(known * distance)[some] / pairs[some]
    halved = total(np.nansum(squared, axis=1))[some] / pairs[some] / 2
    return Variogram(pairs[some].astype(np.intp), mean_distance, halved)


def even_edges(sites: Sites, bins: int = 15) -> Floats:
    """Edges of equal bins up to a third of the diagonal of the box around the sites: common practice."""
    diagonal = float(np.hypot(*np.ptp(sites.plane, axis=0)))
    return np.linspace(0.0, diagonal / 3, bins + 1)


def fit(seen: Variogram, start: Field, noise: float) -> tuple[Field, float]:
    """The field and the noise nearest to a semivariogram, by weighted least squares from a starting guess.

    Weights are pairs / distance squared: near bins say most about a map. Returns ``start`` with its spread and
    reach found anew, and the standard deviation of the noise, whose square is the nugget.

    Source: the weights are common practice in geostatistics programs.
    """
    root_weight = np.sqrt(seen.pairs) / seen.distance

    def field_of(logs: Floats) -> Field:
        return replace(start, spread=float(np.exp(logs[0])), reach=float(np.exp(logs[1])))

    def misfit(guess: Floats) -> Floats:
        modelled = guess[2] ** 2 + field_of(guess).semivariogram(seen.distance)
        return np.asarray(root_weight * (seen.semivariance - modelled))

    guess = np.array([np.log(start.spread), np.log(start.reach), max(noise, 1e-3 * start.spread)])
    found = least_squares(misfit, guess, method="lm", xtol=1e-12, ftol=1e-12).x
    return field_of(found), sqrt(found[2] ** 2)
