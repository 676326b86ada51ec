"""Rain between the gauges: wet or dry first, then how much; never below zero, and zero stays zero."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.spatial.field import Field
from network.spatial.kriging import Factor, factorise, operator, operator_from
from network.spatial.leave_one_out import leave_one_out
from network.spatial.sites import Sites

WETNESS_NOISE = 0.2  # a gauge may miss a drizzle, or tip once for dew: common practice
PRIOR_GAUGES = 2.0  # how many gauges' worth the catalogue's spread counts against the rain of the hour

Floats = NDArray[np.float64]


def amount(
    sites: Sites, noise: ArrayLike, field: Field, values: ArrayLike, targets: Sites
) -> tuple[Floats, Floats, Floats]:
    """Rain at the targets, its standard error, and the chance that there was any.

    Takes ``values`` (n, t) without NaN [mm]; returns three arrays (g, t): [mm], [mm], [1]. The amount is zero
    wherever dry is the likelier. The error follows the rain of the hour: a shower spreads wider than a
    drizzle.
    """
    measured = np.asarray(values, dtype=np.float64)
    factor = factorise(sites, noise, field)
    amounts = operator_from(factor, targets)
    wetness = operator(sites, WETNESS_NOISE, _wetness(field), targets)
    error = amounts.error[:, None] * _scale(factor, measured)
    return _fallen(amounts.estimate(measured), error, wetness.estimate(measured > 0), len(sites))


def amount_without(
    sites: Sites, noise: ArrayLike, field: Field, values: ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """The same at each gauge, by all the others: three arrays (n, t)."""
    measured = np.asarray(values, dtype=np.float64)
    expected, error = leave_one_out(sites, noise, field, measured)
    wetness, _ = leave_one_out(sites, WETNESS_NOISE, _wetness(field), (measured > 0).astype(np.float64))
    scale = _scale(factorise(sites, noise, field), measured)
    return _fallen(expected, error[:, None] * scale, wetness, len(sites) - 1)


def _fallen(rain: Floats, error: Floats, wetness: Floats, gauges: int) -> tuple[Floats, Floats, Floats]:
    """Amount, error and chance, once both fields are estimated."""
    # So many gauges that agree leave a doubt of half a gauge in one more of them (Jeffreys' rule).
    doubt = 0.5 / (gauges + 1)
    chance = np.clip(wetness, doubt, 1 - doubt)
    rain = np.maximum(rain, 0.0)
    # The variance of an amount that falls with this chance and is nothing otherwise.
    whole_error = np.sqrt(chance * error**2 + chance * (1 - chance) * rain**2)
    return np.where(chance >= 0.5, rain, 0.0), whole_error, chance


def _wetness(field: Field) -> Field:
    """The field of wet (1) and dry (0): it reaches as far as the rain does, and half is its widest spread."""
    return Field(spread=0.5, reach=field.reach, kind=field.kind)


def _scale(factor: Factor, values: Floats) -> Floats:
    """How many times wider than the catalogue says the field was at each time, shape (t,).

    The gauges' own spread and the prior's are pooled (the mode of a scaled inverse chi-squared variance;
    Gelman et al., Bayesian Data Analysis, section 2.6, from memory).
    """
    lift = factor.field.gradient * (factor.sites.elevation - factor.sites.elevation.mean())
    half = factor.whiten @ (values - lift[:, None])
    surprise = np.sum(half**2, axis=0) - (factor.ones @ half) ** 2 / factor.precision
    freedom = len(factor.sites) - 1
    return np.asarray(np.sqrt((PRIOR_GAUGES + np.maximum(surprise, 0.0)) / (PRIOR_GAUGES + freedom)))
