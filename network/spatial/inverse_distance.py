"""The plainest map: a mean of the stations, each weighed by a power of its nearness."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial.distance import cdist

from network.spatial.patterns import patterns
from network.spatial.sites import Sites

BLOCK = 4096  # targets at once
AT_THE_STATION = 1e-9  # [m]: nearer is the same place, and its weight outruns all others in double precision

Floats = NDArray[np.float64]


def estimate(
    sites: Sites, values: ArrayLike, targets: Sites, power: float = 2, nearest: int | None = None
) -> Floats:
    """Inverse-distance estimates, shape (g,) from values (n,) or (g, t) from (n, t).

    ``nearest`` limits each target to so many of the stations that report at the time. Values that are NaN are
    passed over; a time without any gives NaN. At a station the estimate is its value.

    Source: Shepard (1968), Proceedings of the 23rd ACM National Conference, 517-524 (from memory).
    """
    measured = np.asarray(values, dtype=np.float64)
    by_time = measured.reshape(len(sites), -1)
    out = np.full((len(targets), by_time.shape[1]), np.nan)
    for mask, times in patterns(np.isfinite(by_time)):
        if mask.any():
            spoken = by_time[np.ix_(mask, times)]
            for start in range(0, len(targets), BLOCK):
                block = slice(start, start + BLOCK)
                out[block, times] = weights(sites[mask], targets[block], power, nearest) @ spoken
    return out.reshape(len(targets), *measured.shape[1:])


def leave_one_out(sites: Sites, values: ArrayLike, power: float = 2) -> Floats:
    """Each station's value by inverse distance from the others, shape of the values (n, t)."""
    measured = np.asarray(values, dtype=np.float64)
    others = ~np.eye(len(sites), dtype=np.bool_)
    return np.vstack([estimate(sites[rest], measured[rest], sites[~rest], power) for rest in others])


def weights(sites: Sites, targets: Sites, power: float = 2, nearest: int | None = None) -> Floats:
    """Weights (g, n), each row adding up to one."""
    distance = np.maximum(cdist(targets.plane, sites.plane), AT_THE_STATION)
    if nearest is not None and nearest < len(sites):
        furthest = np.partition(distance, nearest - 1, axis=1)[:, nearest - 1 : nearest]
        distance[distance > furthest] = np.inf
    nearness = distance**-power
    return np.asarray(nearness / nearness.sum(axis=1, keepdims=True))
