"""The field that the stations themselves describe: most likely parameters, held by what is known beforehand.

Spread, reach and noise are always fitted. A rise with elevation, a direction along which places stay alike
further, and a slope on what else is known of the ground, each cost the parameters they bring (Akaike 1974) and
are switched on only where the values pay.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from dataclasses import field as dataclass_field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import minimize

from network.spatial.drawing import draws
from network.spatial.field import Field, Kind
from network.spatial.kriging import Members, heard
from network.spatial.likelihood import Piece, Spoken, by_pattern
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
"""The logarithm of a stretch is this wide about none: bands twice as long as wide are nothing rare. The
parameters of height are held as firmly, each on its own scale."""

LAYERING = 15.0
"""Metres of distance that one of height is worth, where air lies in layers: from memory, to a factor of two."""

Floats = NDArray[np.float64]
Reading = Callable[[Floats], Field]


@dataclass(frozen=True)
class Fit:
    """A fitted field, what is to be added to the stations' noise, and what the values say of both."""

    field: Field
    nugget: float  # added to the variance of every station's noise (see ``kriging.heard``)
    cost: float  # surprise, belief and a price for each parameter beyond three, in nats: less is better
    weight: float = 1.0  # what each time counts in that
    others: Callable[[], Members] = tuple  # draws fields and nuggets that explain the values as well
    logs: Floats = dataclass_field(default_factory=lambda: np.zeros(3))  # of spread, reach, noise over stated
    read: Reading | None = None  # the field of such logs
    price: int = 0  # of the parameters beyond three, as it is in the cost


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
        return Fit(prior.field, 0.0, 0.0)
    tried = [_of_kind(pieces, prior, kind) for kind in kinds]
    best = min(tried, key=lambda one: one.cost)
    believed = [one for one in tried if one.cost < best.cost + BELIEVABLE]
    return replace(best, others=lambda: tuple(other for one in believed for other in one.others()))


def _of_kind(pieces: Sequence[Spoken], prior: Prior, kind: Kind) -> Fit:
    """The best fit of one kind, with no more than the values pay for."""
    found = _plain(pieces, prior, kind)
    for more in (_stretched, _sloping, _layered):
        found = min(found, more(pieces, prior, found), key=lambda one: one.cost)
    cover = pieces[0][0].cover
    for column in range(0 if cover is None else cover.shape[1]):
        found = min(found, _covered(pieces, prior, found, column), key=lambda one: one.cost)
    return found


def _sample(sites: Sites, noise: ArrayLike, values: ArrayLike) -> tuple[Sites, Floats, Floats]:
    """At most so many stations and times, evenly chosen."""
    measured = np.asarray(values, dtype=np.float64)
    own_noise = np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),))
    known = np.flatnonzero(np.isfinite(measured).sum(axis=0) >= 3)
    times = known[np.unique(np.linspace(0, known.size - 1, min(known.size, MOST_TIMES)).astype(int))]
    chosen = np.unique(np.linspace(0, len(sites) - 1, min(len(sites), MOST_STATIONS)).astype(int))
    return sites[chosen], own_noise[chosen], measured[np.ix_(chosen, times)]


def _sized(field: Field, logs: Floats, **others: Any) -> Field:
    """The field with the spread and the reach whose logarithms come first among the parameters, and with others."""
    return replace(field, spread=float(np.exp(logs[0])), reach=float(np.exp(logs[1])), **others)


def _plain(pieces: Sequence[Spoken], prior: Prior, kind: Kind) -> Fit:
    """The best fit that knows neither direction nor height."""
    flat = replace(prior.field, kind=kind, gradient=0.0, gradient_spread=0.0)
    start = np.array([np.log(prior.field.spread), np.log(prior.field.reach), 0.0])
    return _best(pieces, prior, lambda logs: _sized(flat, logs), [start], 0)


def _stretched(pieces: Sequence[Spoken], prior: Prior, plain: Fit) -> Fit:
    """The best fit with a direction. Its two numbers are a vector of twice the bearing, which has no seam."""
    if max(len(sites) for sites, *_ in pieces) < FEW:
        return plain

    def read(logs: Floats) -> Field:
        bearing = float(np.degrees(np.arctan2(logs[4], logs[3])) / 2) % 180
        stretch = float(np.exp(np.hypot(logs[3], logs[4])))
        return _sized(plain.field, logs, stretch=stretch, bearing=bearing)

    angles = np.radians([30, 150, 270])
    starts = [np.array([*plain.logs[:3], 0.7 * np.cos(a), 0.7 * np.sin(a)]) for a in angles]
    return _best(pieces, prior, read, starts, 2)


def _sloping(pieces: Sequence[Spoken], prior: Prior, flat: Fit) -> Fit:
    """The best fit whose field rises or falls with elevation, by a mean gradient that varies with time."""
    height = float(np.std(pieces[0][0].elevation))
    if height == 0:
        return flat
    expected = prior.field.gradient
    about = prior.field.gradient_spread or flat.field.spread / height

    def read(logs: Floats) -> Field:
        gradient, spread = expected + about * float(logs[3]), about * float(np.exp(logs[4]))
        return _sized(flat.field, logs, gradient=gradient, gradient_spread=spread)

    # Where the catalogue expects a gradient it need not earn its place: that is what the prior says.
    start = np.array([*flat.logs[:3], 0.0, -1.0])
    return _best(pieces, prior, read, [start], 2 if expected == 0 else 0)


def _layered(pieces: Sequence[Spoken], prior: Prior, level: Fit) -> Fit:
    """The best fit in which places of different heights are further apart than the plane says."""
    if level.field.gradient_spread == 0:
        return level
    expected, about = level.field.gradient, level.field.gradient_spread

    def read(logs: Floats) -> Field:
        gradient, spread = expected + about * float(logs[4]), about * float(np.exp(logs[5]))
        layering = LAYERING * float(np.exp(logs[3]))
        return _sized(level.field, logs, gradient=gradient, gradient_spread=spread, layering=layering)

    starts = [np.array([*level.logs[:3], layering, 0.0, -0.5]) for layering in (-1.0, 1.0)]
    return _best(pieces, prior, read, starts, 1)


def _covered(pieces: Sequence[Spoken], prior: Prior, bare: Fit, column: int) -> Fit:
    """The best fit whose trend also follows one column of what covers the ground, by a slope anew each time."""
    cover = pieces[0][0].cover
    varies = 0.0 if cover is None else float(np.std(cover[:, column]))
    read_bare = bare.read
    if varies == 0 or read_bare is None:
        return bare
    about = bare.field.spread / varies

    def read(logs: Floats) -> Field:
        before = read_bare(logs[:-1])
        missing = (0.0,) * (column - len(before.slopes))
        return replace(before, slopes=(*before.slopes, *missing, about * float(np.exp(logs[-1]))))

    return _best(pieces, prior, read, [np.array([*bare.logs, -1.0])], bare.price + 1)


def _best(pieces: Sequence[Spoken], prior: Prior, read: Reading, starts: Sequence[Floats], price: int) -> Fit:
    """The likeliest parameters from some starting guesses, at a price in nats for those beyond three.

    The third is the logarithm of the quietest station's noise as a multiple of what was stated.
    """
    times = sum(values.shape[1] for *_, values in pieces)
    weight = min(1.0, INDEPENDENT_TIMES / times)
    middle = np.array([np.log(prior.field.spread), np.log(prior.field.reach), 0.0])
    doubt = np.array([prior.doubt, prior.doubt, prior.noise_doubt])
    quietest = min(float(noise.min()) for _, noise, _ in pieces)
    prepared = [Piece.of(*one) for one in pieces]

    def member(logs: Floats) -> tuple[Field, float]:
        return read(logs), quietest**2 * float(np.expm1(2 * logs[2]))

    def cost(logs: Floats) -> float:
        field, nugget = member(logs)
        surprise = sum(one.surprise(field, heard(one.noise, nugget)) for one in prepared)
        beyond = ((logs[3:] / STRETCH_DOUBT) ** 2).sum()
        belief = 0.5 * float((((logs[:3] - middle) / doubt) ** 2).sum() + beyond)
        return float(min(weight * surprise, OUT_OF_THE_QUESTION) + belief)

    bounds = [(-30.0, 30.0)] * 2 + [(-3.0, 10.0)] + [(-3.0, 3.0)] * (starts[0].size - 3)
    tried = [minimize(cost, start, method="L-BFGS-B", bounds=bounds) for start in starts]
    best = min(tried, key=lambda one: float(one.fun))

    def others() -> Members:
        drawn = draws(cost, np.array([one.x for one in tried])) if times < SURE else [best.x]
        return tuple(member(logs) for logs in drawn)

    return Fit(*member(best.x), float(best.fun) + price, weight, others, best.x, read, price)
