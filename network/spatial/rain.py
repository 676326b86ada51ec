"""Rain between the gauges: wet or dry first, then how much; never below zero, and zero stays zero.

Amounts are skew, so they may be mapped as their square or cube root and turned back without bias. Which of
the three serves best is for the gauges to say.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, ndtri

from network.spatial.field import Field, Kind
from network.spatial.fitting import Fit, fit
from network.spatial.kriging import Operator, operator
from network.spatial.learnt import Learnt, judged
from network.spatial.leave_one_out import leave_one_out
from network.spatial.prior import Prior
from network.spatial.sites import Sites

WETNESS_NOISE = 0.2  # a gauge may miss a drizzle, or tip once for dew: common practice
PRIOR_GAUGES = 2.0  # how many gauges' worth the field's spread counts against the rain of the hour
ROOTS = (1, 2, 3)
BLOCK = 1 << 14  # places and times at once: the work stays in the processor's cache
KINDS: tuple[Kind, ...] = ("exponential", "spherical", "matern")

Floats = NDArray[np.float64]
Roots = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Rain:
    """Rain at places and times, arrays of shape (g, t): a chance that any fell, and a Gaussian root of it."""

    chance: Floats  # [1] that any fell
    middle: Floats  # of the root of what fell, if any did
    spread: Floats
    root: int | Roots  # one for all, or each time's own (t,)

    @property
    def amount(self) -> Floats:
        """The mean of what fell [mm], but zero wherever dry is the likelier."""
        fallen, _ = self._moments
        return np.where(self.chance >= 0.5, fallen, 0.0)

    @property
    def error(self) -> Floats:
        """Standard error of the amount: of something that falls with this chance and is nothing otherwise."""
        fallen, variance = self._moments
        doubt = (1 - self.chance) * fallen**2
        return np.asarray(np.sqrt(self.chance * (variance + doubt)))

    @cached_property
    def _moments(self) -> tuple[Floats, Floats]:
        """Mean and variance of what falls, if any does."""
        roots = np.broadcast_to(self.root, self.middle.shape[1:])
        mean, variance = np.full(self.middle.shape, np.nan), np.full(self.middle.shape, np.nan)
        rows = max(1, BLOCK // max(1, roots.size))
        for root in np.unique(roots).tolist():
            which = slice(None) if (roots == root).all() else roots == root
            for block in (slice(first, first + rows) for first in range(0, len(mean), rows)):
                here = block, which
                mean[here], variance[here] = _moments(self.middle[here], self.spread[here], root)
        return mean, variance

    def quantile(self, share: float) -> Floats:
        """The amount [mm] below which this share of the possibilities lies; zero where dry has that much."""
        among_wet = (share - (1 - self.chance)) / self.chance
        root = self.middle + self.spread * ndtri(np.clip(among_wet, 1e-12, 1.0))
        return np.asarray(np.where(among_wet > 0, np.maximum(root, 0.0) ** self.root, 0.0))


def at(sites: Sites, noise: ArrayLike, learnt: Learnt, values: ArrayLike, targets: Sites) -> Rain:
    """Rain at the targets, from values (n, t) without NaN [mm] and their noise (n,) [mm]."""
    amounts, wetness = operators(sites, noise, learnt, targets)
    rooted = np.power(np.asarray(values, dtype=np.float64), 1 / learnt.root)
    spread = np.outer(amounts.error, liveliness(sites, noise, learnt, values))
    wet = wetness.estimate(rooted > 0)
    return _rain(amounts.estimate(rooted), spread, wet, doubt(len(sites)), learnt.root)


def operators(sites: Sites, noise: ArrayLike, learnt: Learnt, targets: Sites) -> tuple[Operator, Operator]:
    """What carries roots of the amounts to the targets, and what carries wet (1) and dry (0)."""
    amounts = learnt.operator(sites, _of_root(noise, learnt), targets)
    return amounts, operator(sites, WETNESS_NOISE, _wetness(learnt.field), targets)


def liveliness(sites: Sites, noise: ArrayLike, learnt: Learnt, values: ArrayLike) -> Floats:
    """The factor on the spread at each time (t,) of these values (n, t) [mm]."""
    rooted = np.power(np.asarray(values, dtype=np.float64), 1 / learnt.root)
    return _showery(learnt).liveliness(sites, _of_root(noise, learnt), rooted)


def doubt(gauges: int) -> float:
    """The least chance of rain, and of none, that so many gauges leave: half of one more (Jeffreys' rule)."""
    return 0.5 / (gauges + 1)


def without(sites: Sites, noise: ArrayLike, learnt: Learnt, values: ArrayLike) -> Rain:
    """The same at each gauge, by all the others, in arrays (n, t)."""
    rooted = np.power(np.asarray(values, dtype=np.float64), 1 / learnt.root)
    expected, spread = _showery(learnt).without(sites, _of_root(noise, learnt), rooted)
    wet = (rooted > 0).astype(np.float64)
    wetness, _ = leave_one_out(sites, WETNESS_NOISE, _wetness(learnt.field), wet)
    return _rain(expected, spread, wetness, doubt(len(sites) - 1), learnt.root)


def amount(
    sites: Sites, noise: ArrayLike, field: Field, values: ArrayLike, targets: Sites
) -> tuple[Floats, Floats, Floats]:
    """Amount, its standard error and the chance of any at the targets, of a field of the amounts themselves."""
    found = at(sites, noise, Learnt(field), values, targets)
    return found.amount, found.error, found.chance


def learn(
    sites: Sites,
    noise: ArrayLike,
    values: ArrayLike,
    prior: Prior,
    kinds: tuple[Kind, ...] = KINDS,
) -> Learnt:
    """What wet times teach of the rain: as ``learnt.learn``, and by which root the amounts are best mapped.

    ``values`` (n, t) [mm] are of the past, NaN where a gauge is silent. Times without rain teach nothing of
    amounts. Roots are compared by likelihood, each with the Jacobian of its own scale.
    """
    measured = np.asarray(values, dtype=np.float64)
    wet = measured[:, np.nansum(measured > 0, axis=0) >= 3]
    if not wet.shape[1]:
        return Learnt(prior.field)
    own_noise = np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),))
    typical = float(np.mean(wet[wet > 0]))
    tried = [(_fit_of_root(sites, own_noise, wet, prior, kinds, root, typical), root) for root in ROOTS]
    (found, slope, _), root = min(tried, key=lambda one: one[0][2])
    said = judged(found, sites, own_noise * slope, np.power(wet, 1 / root), root, PRIOR_GAUGES)
    return replace(said, slope=slope)


def _fit_of_root(
    sites: Sites, noise: Floats, wet: Floats, prior: Prior, kinds: tuple[Kind, ...], root: int, typical: float
) -> tuple[Fit, float, float]:
    """A fit to the roots, the slope of the root at a typical amount, and the cost on the scale of amounts."""
    slope = typical ** (1 / root - 1) / root
    rooted = replace(prior, field=replace(prior.field, spread=prior.field.spread * slope))
    found = fit(sites, noise * slope, np.power(wet, 1 / root), rooted, kinds)
    fallen = wet[np.isfinite(wet)]
    jacobian = np.mean(np.log(np.maximum(fallen, 0.05 * typical) ** (1 / root - 1) / root))
    return found, slope, found.cost - found.weight * fallen.size * float(jacobian)


def _of_root(noise: ArrayLike, learnt: Learnt) -> Floats:
    """The noise of the roots, at a usual amount."""
    return np.asarray(noise, dtype=np.float64) * learnt.slope


def _rain(middle: Floats, spread: Floats, wetness: Floats, least: float, root: int) -> Rain:
    return Rain(np.clip(wetness, least, 1 - least), middle, np.broadcast_to(spread, middle.shape), root)


def _moments(middle: Floats, spread: Floats, root: int) -> tuple[Floats, Floats]:
    """Mean and variance of that power of a root, which is never below zero."""
    if root == 1:
        return np.maximum(middle, 0.0), spread**2
    mean, square = _powers_of_positive(middle, spread, root)
    return mean, np.maximum(square - mean**2, 0.0)


def _powers_of_positive(middle: Floats, spread: Floats, power: int) -> tuple[Floats, Floats]:
    """The means of max(x, 0) ** power and of its square for a Gaussian x, by integration by parts."""
    ratio = middle / spread
    means = [ndtr(ratio)]
    means.append(middle * means[0] + spread * np.exp(-(ratio**2) / 2) / np.sqrt(2 * np.pi))
    variance = spread**2
    for order in range(1, 2 * power):
        means.append(middle * means[-1] + order * variance * means[-2])
    return means[power], means[2 * power]


def _wetness(field: Field) -> Field:
    """The field of wet (1) and dry (0): it reaches as far as the rain does, and half is its widest spread."""
    return replace(field, spread=0.5, gradient=0.0, gradient_spread=0.0)


def _showery(learnt: Learnt) -> Learnt:
    """Rain is never steady: a shower spreads wider than a drizzle of the same hour."""
    return replace(learnt, steadiness=min(learnt.steadiness, PRIOR_GAUGES))
