"""Wind between the stations, as vectors: the eastward and the northward part, each a field of its own."""

from dataclasses import replace
from math import hypot

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.spatial.field import Field
from network.spatial.learnt import Learnt
from network.spatial.learnt import learn as learn_values
from network.spatial.prior import AS_CATALOGUED, Prior
from network.spatial.sites import Sites

Floats = NDArray[np.float64]
Vectors = tuple[Floats, Floats, Floats]


def component_field(speed: Field) -> Field:
    """The field of one part of the wind, from the field of its speed.

    Speed grows with height, but a part of it may grow either way, so the expected gradient becomes doubt.
    """
    return replace(speed, gradient=0.0, gradient_spread=hypot(speed.gradient, speed.gradient_spread))


def vectors(
    sites: Sites, noise: ArrayLike, learnt: Learnt, eastward: ArrayLike, northward: ArrayLike, targets: Sites
) -> Vectors:
    """Eastward and northward wind at the targets, and the error of either, all (g, t) [m/s].

    ``eastward`` and ``northward`` have shape (n, t), without NaN, brought to one height above ground; what is
    ``learnt`` is of one part of the wind.
    """
    carry = learnt.operator(sites, noise, targets)
    livelier = liveliness(sites, noise, learnt, eastward, northward)
    return carry.estimate(eastward), carry.estimate(northward), np.outer(carry.error, livelier)


def vectors_without(
    sites: Sites, noise: ArrayLike, learnt: Learnt, eastward: ArrayLike, northward: ArrayLike
) -> Vectors:
    """The same at each station, by all the others."""
    u, error = learnt.without(sites, noise, eastward)
    v, other = learnt.without(sites, noise, northward)
    return u, v, np.sqrt((error**2 + other**2) / 2)


def liveliness(
    sites: Sites, noise: ArrayLike, learnt: Learnt, eastward: ArrayLike, northward: ArrayLike
) -> Floats:
    """The factor on the error at each time (t,), from both parts (n, t): no direction is preferred."""
    u, v = (learnt.liveliness(sites, noise, part) for part in (eastward, northward))
    return np.sqrt((u**2 + v**2) / 2)


def learn(sites: Sites, noise: ArrayLike, eastward: ArrayLike, northward: ArrayLike, speed: Field) -> Learnt:
    """What both parts of past winds, each (n, t), teach of either; ``speed`` is the catalogue's field.

    Each wind is heard with its opposite, so that the way it mostly blew of late is no rule for every wind.
    """
    u, v = (np.asarray(part, dtype=np.float64) for part in (eastward, northward))
    both = np.column_stack([u, v, -u, -v])
    return learn_values(sites, noise, both, Prior(component_field(speed), AS_CATALOGUED))
