"""Wind between the stations, as vectors: the eastward and the northward part, each a field of its own."""

from dataclasses import replace
from math import hypot

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.spatial.field import Field
from network.spatial.kriging import operator
from network.spatial.leave_one_out import leave_one_out
from network.spatial.sites import Sites

Floats = NDArray[np.float64]
Vectors = tuple[Floats, Floats, Floats]


def component_field(speed: Field) -> Field:
    """The field of one part of the wind, from the field of its speed.

    Speed grows with height, but a part of it may grow either way, so the expected gradient becomes doubt.
    """
    return replace(speed, gradient=0.0, gradient_spread=hypot(speed.gradient, speed.gradient_spread))


def vectors(
    sites: Sites, noise: ArrayLike, speed: Field, eastward: ArrayLike, northward: ArrayLike, targets: Sites
) -> Vectors:
    """Eastward and northward wind at the targets, both (g, t), and the error of either, (g, 1) [m/s].

    ``eastward`` and ``northward`` have shape (n, t), without NaN, brought to one height above ground.
    """
    carry = operator(sites, noise, component_field(speed), targets)
    return carry.estimate(eastward), carry.estimate(northward), carry.error[:, None]


def vectors_without(
    sites: Sites, noise: ArrayLike, speed: Field, eastward: ArrayLike, northward: ArrayLike
) -> Vectors:
    """The same at each station, by all the others."""
    field = component_field(speed)
    u, error = leave_one_out(sites, noise, field, eastward)
    v, _ = leave_one_out(sites, noise, field, northward)
    return u, v, error[:, None]
