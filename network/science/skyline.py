"""The skyline of a place, as a light sensor sees it: what hides the sun from it."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

BIN = 5.0
"""[deg] of azimuth."""


class Skyline(NamedTuple):
    """By bins of azimuth from north by east, each of shape (72,)."""

    azimuth: Array
    """[deg] The middle of the bin."""
    elevation: Array
    """[deg] Of the horizon: below it the sun does not reach the sensor. NaN where the sun never was."""
    moments: NDArray[np.int64]
    """How many moments with a clear sky say so."""


def skyline(azimuth: ArrayLike, elevation: ArrayLike, share: ArrayLike, lit: float = 0.6) -> Skyline:
    """What hides the sun, learnt from moments when the sky around it was clear.

    Parameters
    ----------
    azimuth, elevation : array_like, shape (n,)
        [deg] Where the sun stood, clockwise from north and above the level horizon.
    share : array_like, shape (n,)
        [1] How much of a clear sky's light the sensor saw; NaN where the sky was not clear or nobody knows.
        Behind an obstacle the light of the sky remains, some 0.1 to 0.4.
    lit : float
        [1] From this share the sun itself reached the sensor.

    Returns
    -------
    Skyline
        In each bin the elevation that divides the moments lit from those not with the fewest on the wrong
        side: halfway between the two moments beside it. Where all moments were lit it is 0, for the sensor
        may see all the way down; where none was, it is the highest at which the sun has stood. A gap under a
        bough cannot be told by one elevation and counts for what there is more of.

    Source: common practice.
    """
    azimuth, elevation, share = (np.asarray(each, dtype=np.float64) for each in (azimuth, elevation, share))
    known = np.isfinite(share) & np.isfinite(azimuth) & (elevation > 0)
    count = round(360 / BIN)
    place = (azimuth[known] % 360.0 // BIN).astype(np.intp) % count
    high, sunny = elevation[known], share[known] >= lit
    horizon = np.full(count, np.nan)
    for here in np.unique(place):
        horizon[here] = _dividing(high[place == here], sunny[place == here])
    middles = np.asarray(BIN * (np.arange(count) + 0.5), dtype=np.float64)
    return Skyline(middles, horizon, np.bincount(place, minlength=count).astype(np.int64))


def hidden(line: Skyline, azimuth: ArrayLike, elevation: ArrayLike) -> NDArray[np.bool_]:
    """Where the sun at an azimuth and elevation [deg], any shape, stands behind the skyline."""
    place = (np.asarray(azimuth, dtype=np.float64) % 360.0 // BIN).astype(np.intp) % line.azimuth.size
    behind: NDArray[np.bool_] = np.asarray(elevation) < line.elevation[place]
    return behind


def _dividing(elevation: Array, lit: NDArray[np.bool_]) -> float:
    """The elevation with the fewest lit moments below it and shaded ones above."""
    order = np.argsort(elevation, kind="stable")
    elevation, lit = elevation[order], lit[order]
    # Behind an obstacle as high as the first i moments: those lit among them and those shaded beyond are wrong.
    wrong = np.concatenate([[0], np.cumsum(lit)]) + np.concatenate([np.cumsum(~lit[::-1])[::-1], [0]])
    at = int(np.argmin(wrong))
    if at == 0:
        return 0.0
    return float(elevation[-1] if at == elevation.size else (elevation[at - 1] + elevation[at]) / 2)
