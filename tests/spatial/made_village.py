"""An invented village whose air temperature is known everywhere."""

import numpy as np

from network.spatial.sites import Sites

SIDE = 3000.0  # [m]


def ground(east, north):
    """A valley that climbs 150 m to the north-east [m]."""
    return 320 + 110 / (1 + np.exp(-(east + north - 3200) / 500)) + 40 * north / SIDE


def places(count, seed):
    """So many places anywhere in the village."""
    east, north = np.random.default_rng(seed).uniform(0, SIDE, (2, count))
    return Sites.at(east, north, ground(east, north))


def smooth_truth(sites):
    """One smooth temperature everywhere [K]: 6.5 K/km, a warm middle and a cool brook."""
    warm_middle = 0.8 * np.exp(-((sites.east - 1400) ** 2 + (sites.north - 1500) ** 2) / (2 * 1100**2))
    cool_brook = 0.6 * np.cos(2 * np.pi * sites.east / 4500)
    return 288.0 - 0.0065 * (sites.elevation - 320) + warm_middle - cool_brook


def drawn_truths(sites, spread, reach, gradient_spread, times, seed):
    """Fields (n, times) drawn from the exponential model itself, each with its own mean and gradient [K]."""
    rng = np.random.default_rng(seed)
    apart = np.hypot(*(np.subtract.outer(part, part) for part in (sites.east, sites.north)))
    residual = np.linalg.cholesky(spread**2 * np.exp(-apart / reach) + 1e-12 * np.eye(len(sites)))
    gradient = -0.0065 + gradient_spread * rng.normal(size=times)
    trend = rng.normal(285, 8, times) + np.outer(sites.elevation, gradient)
    return trend + residual @ rng.normal(size=(len(sites), times))
