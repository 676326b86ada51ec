"""Maps from more stations than one factorisation should hold: each patch of the map by those around it."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial import KDTree

from network.spatial.field import Field
from network.spatial.kriging import operator
from network.spatial.sites import Sites

MANY = 300  # stations beyond which a map goes patch by patch
NEAREST = 100  # stations a patch listens to: those beyond hardly have weight behind these
PATCH = 400  # places in a patch at most

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]


def estimate(
    sites: Sites, noise: ArrayLike, field: Field, values: ArrayLike, targets: Sites, nearest: int = NEAREST
) -> tuple[Floats, Floats]:
    """Estimates (g, t) from values (n, t) without NaN, and standard errors (g,), like one operator for all.

    Every patch of neighbouring places is kriged from the ``nearest`` stations to its middle, with a mean of
    its own.
    """
    measured = np.asarray(values, dtype=np.float64)
    own_noise = np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),))
    around = KDTree(sites.plane)
    out, error = np.empty((len(targets), measured.shape[1])), np.empty(len(targets))
    for patch in _patches(targets.plane, np.arange(len(targets))):
        places = targets[patch]
        _, near = around.query(places.plane.mean(axis=0), min(nearest, len(sites)))
        near = np.atleast_1d(near)
        carry = operator(sites[near], own_noise[near], field, places)
        out[patch], error[patch] = carry.estimate(measured[near]), carry.error
    return out, error


def _patches(plane: Floats, which: Indices) -> Iterator[Indices]:
    """Places halved along their longer side until none has more than a patch may hold."""
    if which.size <= PATCH:
        yield which
        return
    here = plane[which]
    longer = int(np.argmax(np.ptp(here, axis=0)))
    middle = which.size // 2
    order = np.argpartition(here[:, longer], middle)
    yield from _patches(plane, which[order[:middle]])
    yield from _patches(plane, which[order[middle:]])
