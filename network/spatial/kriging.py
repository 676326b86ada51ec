"""Best linear estimates between stations: one factorisation, then one matrix product.

The field's unknown mean is found by generalised least squares (ordinary kriging). The elevation gradient has
a Gaussian prior, which is the same as a covariance that grows with both elevations, so shrinking it towards
the prior costs nothing extra. Noise is each station's own and belongs to its instrument, not to the field:
the estimate is of the field itself, and so is its standard error.

Source: Cressie (1993), Statistics for Spatial Data, section 3.4; Rasmussen and Williams (2006), eqs 2.41 and
2.42.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.spatial.field import Field
from network.spatial.sites import Sites

BLOCK = 4096  # targets at once: the work stays in the processor's cache

Floats = NDArray[np.float64]
Members = Sequence[tuple[Field, float]]


@dataclass(frozen=True, eq=False)
class Factor:
    """The stations' side of kriging, worked out once for a set of stations."""

    sites: Sites
    field: Field
    extent: float  # greatest distance between two stations [m], where the field has no sill
    whiten: Floats  # (n, n): makes the values independent, each of variance 1, noise included
    ones: Floats  # (n,): whiten @ 1
    precision: float  # of the mean, given the values


@dataclass(frozen=True, eq=False)
class Operator:
    """What turns n values into g estimates: ``weights @ values + offset``, each with its standard error."""

    weights: Floats  # (g, n)
    offset: Floats  # (g,)
    error: Floats  # (g,), of the field, without the noise a new instrument would add

    def estimate(self, values: ArrayLike) -> Floats:
        """Estimates (g,) from values (n,), or (g, t) from (n, t). A NaN makes its whole time NaN."""
        measured = np.asarray(values, dtype=np.float64)
        if measured.ndim == 1:
            return np.asarray(self.weights @ measured + self.offset)
        # The offset rides along as one more station, so a day of maps is one pass over memory.
        return np.column_stack([self.weights, self.offset]) @ np.vstack(
            [measured, np.ones(measured.shape[1])]
        )


def factorise(sites: Sites, noise: ArrayLike, field: Field) -> Factor:
    """Factorise the covariance of stations, each with its own noise (see ``operator``).

    Raises ValueError when a station has no position or elevation, and when two stand at one place and
    neither has any noise.
    """
    if not (np.isfinite(sites.plane).all() and np.isfinite(sites.elevation).all()):
        raise ValueError("Every station needs a position and an elevation: leave out those without.")
    own_noise = np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),))
    distance = field.apart(sites, sites)
    extent = float(distance.max(initial=0.0)) if field.kind == "linear" else 0.0
    covariance = field.covariance(distance, extent)
    if field.gradient_spread or field.slopes:
        covariance += of_trend(field, sites, sites, sites)
    covariance[np.diag_indices(len(sites))] += own_noise**2
    try:
        # All of it by numpy: its threads and those of scipy's own BLAS get into each other's way.
        whiten = _inverse_of_lower(np.asarray(np.linalg.cholesky(covariance), dtype=np.float64))
    except np.linalg.LinAlgError:
        raise ValueError(
            "Two stations at one place without noise contradict each other: give each its noise."
        ) from None
    ones = whiten.sum(axis=1)
    return Factor(sites, field, extent, whiten, ones, float(ones @ ones) + field.mean_spread**-2)


def _inverse_of_lower(triangle: Floats) -> Floats:
    """Inverse of a lower triangular matrix, by halves: numpy's own inverse does not know that half is zero."""
    if len(triangle) <= 32:
        return np.asarray(np.linalg.inv(triangle), dtype=np.float64)
    half = len(triangle) // 2
    inverse = np.zeros_like(triangle)
    inverse[:half, :half] = upper = _inverse_of_lower(triangle[:half, :half])
    inverse[half:, half:] = lower = _inverse_of_lower(triangle[half:, half:])
    inverse[half:, :half] = -(lower @ triangle[half:, :half]) @ upper
    return inverse


def heard(noise: ArrayLike, nugget: float) -> Floats:
    """Each station's noise when a variance, the nugget, is added to that of all.

    It is below zero where even the quietest stations are better than stated. What the siting of one adds to
    its noise stays as stated, and no noise falls below a tenth of that.
    """
    own = np.asarray(noise, dtype=np.float64)
    return np.sqrt(np.maximum(own**2 + nugget, 0.01 * own**2))


def operator(sites: Sites, noise: ArrayLike, field: Field, targets: Sites) -> Operator:
    """The weights, offsets and standard errors that carry the stations' values to the targets.

    Parameters
    ----------
    sites : Sites, n stations, at least one
    noise : array_like, shape (n,) or one for all
        Standard deviation of each station's own noise [unit of the values].
    field : Field
    targets : Sites, g places

    Returns
    -------
    Operator
    """
    return operator_from(factorise(sites, noise, field), targets)


def operator_from(factor: Factor, targets: Sites) -> Operator:
    """The same from stations already factorised."""
    g, n = len(targets), len(factor.sites)
    weights, error = np.empty((g, n)), np.empty(g)
    for start in range(0, g, BLOCK):
        block = slice(start, start + BLOCK)
        weights[block], error[block] = _block(factor, targets[block])
    gradient = factor.field.gradient
    offset = gradient * (targets.elevation - weights @ factor.sites.elevation)
    if np.isfinite(factor.field.mean_spread):
        # A mean near zero holds for values with their elevation taken off at the stations' middle height.
        offset += gradient * _middle(factor.sites) * (weights.sum(axis=1) - 1)
    return Operator(weights, offset, error)


def mean_operator(sites: Sites, noise: ArrayLike, members: Members, targets: Sites) -> Operator:
    """The mean of the operators of several fields, none of which is certain.

    ``members`` are fields, each with its nugget (see ``heard``). The mean of linear estimates is one; its error
    is the root mean square of theirs, which leaves out how far they differ among themselves.
    """
    all_ = [operator(sites, heard(noise, nugget), field, targets) for field, nugget in members]
    if len(all_) == 1:
        return all_[0]
    variance = np.mean([one.error**2 for one in all_], axis=0)
    weights = np.mean([one.weights for one in all_], axis=0)
    return Operator(weights, np.mean([one.offset for one in all_], axis=0), np.sqrt(variance))


def _block(factor: Factor, targets: Sites) -> tuple[Floats, Floats]:
    """Weights (g, n) and standard errors (g,) for a few thousand targets."""
    field, sites = factor.field, factor.sites
    toward = field.covariance(field.apart(sites, targets), factor.extent)
    if field.gradient_spread or field.slopes:
        toward += of_trend(field, sites, targets, sites)
    half = factor.whiten @ toward
    lacking = 1 - factor.ones @ half  # of the weight the mean must supply
    own = field.sill(factor.extent) + np.sum(_rises(field, targets, sites) ** 2, axis=1)
    variance = own - np.einsum("ng,ng->g", half, half) + lacking**2 / factor.precision
    half += np.outer(factor.ones, lacking / factor.precision)
    return half.T @ factor.whiten, np.sqrt(np.maximum(variance, 0.0))


def of_trend(field: Field, ones: Sites, others: Sites, stations: Sites) -> Floats:
    """Covariance (a, b) of two sets of places because they share one uncertain gradient, and uncertain slopes."""
    return np.asarray(_rises(field, ones, stations) @ _rises(field, others, stations).T)


def _rises(field: Field, places: Sites, stations: Sites) -> Floats:
    """What one standard deviation of the gradient, and of each slope, makes at places: (a, 1 + k).

    They turn about the stations' middle. A place of whose cover nothing is known counts as lying there.
    """
    rises = [field.gradient_spread * (places.elevation - _middle(stations))]
    if field.slopes and stations.cover is not None:
        middle = stations.cover.mean(axis=0)
        apart = np.zeros((len(places), middle.size)) if places.cover is None else places.cover - middle
        rises += [slope * column for slope, column in zip(field.slopes, apart.T, strict=False)]
    return np.column_stack(rises)


def _middle(sites: Sites) -> float:
    """The height about which the gradient turns: with an unknown mean any would do."""
    return float(sites.elevation.mean())


def block(factor: Factor, places: Sites) -> tuple[Floats, float, float]:
    """The mean over some places that fill a block: weights (n,), offset and standard error.

    The mean is ``weights @ values + offset``. Its error is smaller than that of any one place, for what
    the places do not share averages out.

    Source: Cressie (1993), section 3.2.6 (from memory), with the block's integrals as means over the places.
    """
    field, sites = factor.field, factor.sites
    carry = operator_from(factor, places)
    weights = carry.weights.mean(axis=0)
    toward = field.covariance(field.apart(sites, places), factor.extent)
    toward += of_trend(field, sites, places, sites)
    within = field.covariance(field.apart(places, places), factor.extent)
    within += of_trend(field, places, places, sites)
    spread = np.linalg.norm(np.linalg.solve(factor.whiten.T, weights))
    variance = within.mean() - 2 * weights @ toward.mean(axis=1) + spread**2
    if np.isfinite(field.mean_spread):
        variance += (field.mean_spread * (1 - weights.sum())) ** 2
    return weights, float(carry.offset.mean()), float(np.sqrt(max(variance, 0.0)))
