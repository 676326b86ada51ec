"""What a village's own recent values teach about one variable, ready for its maps.

Everything here comes from the values handed in: give those of the past to map the present. Learn each part of
the day apart, for a cold night lies otherwise over a village than a windy noon.
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.spatial import inverse_distance
from network.spatial.calibration import widening
from network.spatial.field import Field, Kind
from network.spatial.fitting import MOST_TIMES, Fit, fit
from network.spatial.kriging import Operator, heard, mean_operator
from network.spatial.leave_one_out import mean_leave_one_out
from network.spatial.likelihood import by_pattern
from network.spatial.liveliness import STEADY, misfit, scale, steadiness
from network.spatial.prior import Prior
from network.spatial.scores import rmse
from network.spatial.sites import Sites

Method = Literal["kriging", "inverse distance", "village mean"]

METHODS: tuple[Method, ...] = ("kriging", "inverse distance", "village mean")

KINDS: tuple[Kind, ...] = ("exponential", "matern")
"""Rough and smooth: what lies between is the mean of both, while the values do not rule one out."""

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Learnt:
    """How to map one variable: by which field, how loud its stations are, and how wide its intervals."""

    field: Field
    nugget: float = 0.0  # added to the variance of every station's noise (see ``kriging.heard``)
    widen: float = 1.0  # standard errors as a multiple of what the field says
    root: int = 1  # amounts are mapped as their first, square or cube root
    slope: float = 1.0  # of that root at a usual amount: by so much a noise is scaled
    method: Method = "kriging"  # the plainest of those that served best
    rmse: tuple[float, ...] = (np.nan, np.nan, np.nan)  # leaving one out, in the order of METHODS
    others: tuple[tuple[Field, float], ...] = ()  # fields and nuggets that explain the values as well
    steadiness: float = STEADY  # how little the field's spread follows the hour (see ``liveliness``)

    @property
    def members(self) -> tuple[tuple[Field, float], ...]:
        """The fields a map is the mean of, each with its nugget: one, or several in doubt."""
        return self.others or ((self.field, self.nugget),)

    def operator(self, sites: Sites, noise: ArrayLike, targets: Sites) -> Operator:
        """What carries values of the stations to the targets by the method that served best."""
        carry = mean_operator(sites, noise, self.members, targets)
        widened = self.widen * carry.error
        if self.method == "kriging":
            return Operator(carry.weights, carry.offset, widened)
        if self.method == "inverse distance":
            weights = inverse_distance.weights(sites, targets)
        else:
            weights = np.full(carry.weights.shape, 1 / len(sites))
        return Operator(weights, np.zeros(len(targets)), widened)

    def liveliness(self, sites: Sites, noise: ArrayLike, values: ArrayLike) -> Floats:
        """The factor on standard errors at each time (t,) of these values (n, t)."""
        spoken = np.asarray(values, dtype=np.float64)
        if self.steadiness == STEADY:
            return np.ones(spoken.shape[1])
        squares = misfit(sites, heard(noise, self.nugget), self.field, spoken)
        return scale(squares, len(sites) - 1, self.steadiness)

    def without(self, sites: Sites, noise: ArrayLike, values: ArrayLike) -> tuple[Floats, Floats]:
        """Each station by all the others, and the field's error there, both (n, t), by that method."""
        spoken = np.asarray(values, dtype=np.float64)
        expected, error = mean_leave_one_out(sites, noise, self.members, spoken)
        variance = error[:, None] ** 2 + heard(noise, self.nugget)[..., None] ** 2
        if self.steadiness == STEADY:
            livelier = np.ones(spoken.shape)
        else:
            squares = misfit(sites, heard(noise, self.nugget), self.field, spoken)
            others_squares = np.maximum(squares - (spoken - expected) ** 2 / variance, 0.0)
            livelier = scale(others_squares, len(sites) - 2, self.steadiness)
        if self.method == "inverse distance":
            expected = inverse_distance.leave_one_out(sites, spoken)
        elif self.method == "village mean":
            expected = others_mean(spoken)
        return expected, self.widen * error[:, None] * livelier


def learn(
    sites: Sites,
    noise: ArrayLike,
    values: ArrayLike,
    prior: Prior,
    kinds: tuple[Kind, ...] = KINDS,
) -> Learnt:
    """Learn the field, the noise, the intervals, and whether anything plainer does as well.

    Parameters
    ----------
    sites : Sites, n stations
    noise : array_like, shape (n,) or one for all
        Stated standard deviation of each station's own noise [unit of the values].
    values : array_like, shape (n, t)
        Trusted values of the past; NaN where a station is silent.
    prior : Prior
    kinds : shapes of field to choose among

    Returns
    -------
    Learnt
        What the prior says, where no time has three stations.
    """
    return judged(fit(sites, noise, values, prior, kinds), sites, noise, values)


def judged(
    found: Fit,
    sites: Sites,
    noise: ArrayLike,
    values: ArrayLike,
    root: int = 1,
    steadiest: float = STEADY,
) -> Learnt:
    """A fit with its method, its steadiness and its widening, by leaving out one station at a time."""
    pieces = by_pattern(sites, noise, _some(values), least=3)
    said = Learnt(found.field, found.nugget, root=root, others=tuple(found.others()))
    if not pieces:
        return said
    louder = [(where, heard(own, said.nugget), spoken) for where, own, spoken in pieces]
    said = replace(said, steadiness=min(steadiness(louder, said.field), steadiest))
    seen = _flat([spoken for *_, spoken in pieces])
    guesses: dict[Method, Floats] = {}
    errors: dict[Method, Floats] = {}
    for method in METHODS:
        told = [replace(said, method=method).without(*piece) for piece in pieces]
        guesses[method] = _flat([expected for expected, _ in told])
        errors[method] = _flat([error for _, error in told])
    own_noise = _flat([np.broadcast_to(own[:, None], spoken.shape) for _, own, spoken in louder])
    # A station that is known to be poor has little say in which method serves best.
    say = 1 / np.hypot(own_noise, said.field.spread)
    best = min(reversed(METHODS), key=lambda one: float(rmse(say * guesses[one], say * seen)))
    return replace(
        said,
        method=best,
        widen=widening(seen - guesses[best], errors[best], own_noise),
        rmse=tuple(float(rmse(guesses[one], seen)) for one in METHODS),
    )


def others_mean(values: Floats) -> Floats:
    """The mean of all the others at each station, shape of the values (n, t)."""
    return np.asarray((values.sum(axis=0) - values) / (len(values) - 1))


def _some(values: ArrayLike) -> Floats:
    """Enough of the times to judge by, evenly chosen."""
    measured = np.asarray(values, dtype=np.float64)
    times = measured.shape[1]
    return measured[:, np.unique(np.linspace(0, times - 1, min(times, 4 * MOST_TIMES)).astype(int))]


def _flat(parts: list[Floats]) -> Floats:
    return np.concatenate([part.ravel() for part in parts])
