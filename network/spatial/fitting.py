"""The field that the stations themselves describe: most likely parameters, held by what is known beforehand.

Spread, reach and noise are always fitted. A rise with elevation, and a direction along which places stay
alike further, each cost the parameters they bring (Akaike 1974) and are switched on only where the values pay.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import minimize

from network.spatial.drawing import draws
from network.spatial.field import Field, Kind
from network.spatial.kriging import Members
from network.spatial.likelihood import Spoken, by_pattern, surprise
from network.spatial.prior import Prior
from network.spatial.sites import Sites

MOST_TIMES = 96
MOST_STATIONS = 250
"""What a fit listens to at most, evenly chosen: more would be slow and hardly change it."""

INDEPENDENT_TIMES = 24
"""For how many times the pooled ones count at most: the weather of an hour is much like that of the next."""

SURE = 8
"""Times below which one set of parameters is not to be trusted, and some that do as well are drawn beside it."""

BELIEVABLE = 3.0
"""Kinds of field whose cost is within so many nats of the best take part: one to twenty is not yet disproof."""

OUT_OF_THE_QUESTION = 1e9
"""[nats] Instead of infinity, from which a minimiser cannot tell which way to go."""

FEW = 20
"""Stations below which no direction is looked for."""

STRETCH_DOUBT = 0.7
"""The logarithm of a stretch is this wide about none: bands twice as long as wide are nothing rare."""

LAYERING = 15.0
"""Metres of distance that one of height is worth, where air lies in layers: from memory, to a factor of two."""

Floats = NDArray[np.float64]
Reading = Callable[[Floats], tuple[Field, float]]


@dataclass(frozen=True)
class Fit:
    """A fitted field, how many times louder than stated the noise is, and what the values say of both."""

    field: Field
    noise_scale: float
    cost: float  # surprise, belief and a price for each parameter beyond three, in nats: less is better
    weight: float = 1.0  # what each time counts in that
    others: Callable[[], Members] = tuple  # draws fields and noise scales that explain the values as well


def fit(
    sites: Sites, noise: ArrayLike, values: ArrayLike, prior: Prior, kinds: Sequence[Kind] = ("exponential",)
) -> Fit:
    """The most likely field by restricted likelihood times prior, pooled over times.

    Parameters
    ----------
    sites : Sites, n stations
    noise : array_like, shape (n,) or one for all
        Stated standard deviation of each station's own noise [unit of the values].
    values : array_like, shape (n, t)
        Trusted values; NaN where a station is silent.
    prior : Prior
        Eight stations cannot say everything: what they leave open stays as it was believed.
    kinds : the shapes to choose among, by cost

    Returns
    -------
    Fit
        The prior itself where no time has three stations.
    """
    pieces = by_pattern(*_sample(sites, noise, values), least=3)
    if not pieces:
        return Fit(prior.field, 1.0, 0.0)
    tried = [_of_kind(pieces, prior, kind) for kind in kinds]
    best = min(tried, key=lambda one: one.cost)
    believed = [one for one in tried if one.cost < best.cost + BELIEVABLE]
    return replace(best, others=lambda: tuple(other for one in believed for other in one.others()))


def _of_kind(pieces: Sequence[Spoken], prior: Prior, kind: Kind) -> Fit:
    """The best fit of one kind, with no more than the values pay for."""
    start = np.array([np.log(prior.field.spread), np.log(prior.field.reach), 0.0])
    found = _best(pieces, prior, _isotropic(prior.field, kind), [start], 0)
    for more in (_stretched, _sloping, _layered):
        found = min(found, more(pieces, prior, found), key=lambda one: one.cost)
    return found


def _sample(sites: Sites, noise: ArrayLike, values: ArrayLike) -> tuple[Sites, Floats, Floats]:
    """At most so many stations and times, evenly chosen."""
    measured = np.asarray(values, dtype=np.float64)
    own_noise = np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),))
    known = np.flatnonzero(np.isfinite(measured).sum(axis=0) >= 3)
    times = known[np.unique(np.linspace(0, known.size - 1, min(known.size, MOST_TIMES)).astype(int))]
    chosen = np.unique(np.linspace(0, len(sites) - 1, min(len(sites), MOST_STATIONS)).astype(int))
    return sites[chosen], own_noise[chosen], measured[np.ix_(chosen, times)]


def _isotropic(start: Field, kind: Kind) -> Reading:
    flat = replace(start, kind=kind, gradient=0.0, gradient_spread=0.0)

    def read(logs: Floats) -> tuple[Field, float]:
        return replace(flat, spread=float(np.exp(logs[0])), reach=float(np.exp(logs[1]))), float(
            np.exp(logs[2])
        )

    return read


def _stretched(pieces: Sequence[Spoken], prior: Prior, plain: Fit) -> Fit:
    """The best fit with a direction. Its two numbers are a vector of twice the bearing, which has no seam."""
    if max(len(sites) for sites, *_ in pieces) < FEW:
        return plain
    plainly = _isotropic(prior.field, plain.field.kind)

    def read(logs: Floats) -> tuple[Field, float]:
        field, scale = plainly(logs)
        bearing = float(np.degrees(np.arctan2(logs[4], logs[3])) / 2) % 180
        return replace(field, stretch=float(np.exp(np.hypot(logs[3], logs[4]))), bearing=bearing), scale

    here = np.log([plain.field.spread, plain.field.reach, plain.noise_scale])
    starts = [np.array([*here, 0.7 * np.cos(a), 0.7 * np.sin(a)]) for a in np.radians([30, 150, 270])]
    return _best(pieces, prior, read, starts, 2)


def _sloping(pieces: Sequence[Spoken], prior: Prior, flat: Fit) -> Fit:
    """The best fit whose field rises or falls with elevation, by a mean gradient that varies with time."""
    height = float(np.std(pieces[0][0].elevation))
    if height == 0:
        return flat
    expected = prior.field.gradient
    about = prior.field.gradient_spread or flat.field.spread / height
    start = np.array([*np.log([flat.field.spread, flat.field.reach, flat.noise_scale]), 0.0, -1.0])

    def read(logs: Floats) -> tuple[Field, float]:
        field = replace(flat.field, spread=float(np.exp(logs[0])), reach=float(np.exp(logs[1])))
        gradient, spread = expected + about * float(logs[3]), about * float(np.exp(logs[4]))
        return replace(field, gradient=gradient, gradient_spread=spread), float(np.exp(logs[2]))

    # Where the catalogue expects a gradient it need not earn its place: that is what the prior says.
    return _best(pieces, prior, read, [start], 2 if expected == 0 else 0)


def _layered(pieces: Sequence[Spoken], prior: Prior, level: Fit) -> Fit:
    """The best fit in which places of different heights are further apart than the plane says."""
    if level.field.gradient_spread == 0:
        return level
    expected, about = level.field.gradient, level.field.gradient_spread

    def read(logs: Floats) -> tuple[Field, float]:
        field = replace(level.field, spread=float(np.exp(logs[0])), reach=float(np.exp(logs[1])))
        field = replace(
            field, gradient=expected + about * float(logs[4]), gradient_spread=about * float(np.exp(logs[5]))
        )
        return replace(field, layering=LAYERING * float(np.exp(logs[3]))), float(np.exp(logs[2]))

    here = np.log([level.field.spread, level.field.reach, level.noise_scale])
    return _best(pieces, prior, read, [np.array([*here, start, 0.0, -0.5]) for start in (-1.0, 1.0)], 1)


def _best(pieces: Sequence[Spoken], prior: Prior, read: Reading, starts: Sequence[Floats], price: int) -> Fit:
    """The likeliest parameters from some starting guesses, at a price in nats for those beyond three."""
    times = sum(values.shape[1] for *_, values in pieces)
    weight = min(1.0, INDEPENDENT_TIMES / times)
    middle = np.array([np.log(prior.field.spread), np.log(prior.field.reach), 0.0])
    doubt = np.array([prior.doubt, prior.doubt, prior.noise_doubt])

    def cost(logs: Floats) -> float:
        field, scale = read(logs)
        scaled = [(sites, scale * noise, values) for sites, noise, values in pieces]
        beyond = np.sum((logs[3:] / STRETCH_DOUBT) ** 2)
        belief = 0.5 * float(np.sum(((logs[:3] - middle) / doubt) ** 2) + beyond)
        return float(min(weight * surprise(scaled, field), OUT_OF_THE_QUESTION) + belief)

    bounds = [(-30.0, 30.0)] * 3 + [(-3.0, 3.0)] * (starts[0].size - 3)
    tried = [minimize(cost, start, method="L-BFGS-B", bounds=bounds) for start in starts]
    best = min(tried, key=lambda one: float(one.fun))

    def others() -> Members:
        drawn = draws(cost, np.array([one.x for one in tried])) if times < SURE else [best.x]
        return tuple(read(logs) for logs in drawn)

    return Fit(*read(best.x), float(best.fun) + price, weight, others)
