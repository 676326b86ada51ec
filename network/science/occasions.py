"""Occasions on which a place shows itself: clear calm nights, sunny afternoons; and the others, to set against."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]

DAY = 86400

HIGH_ENOUGH = 10.0
"""[deg] Below this sun, light says little of the sky (common practice)."""

CLEAR = 0.75
"""[1] From this share of a clear sky's light on, the sky counts as clear (common practice)."""

CALM = 3.0
"""[m/s] A night's mean wind at ten metres below which the air beneath a clear sky grows stable: the class of
the stablest nights (Pasquill 1961, Meteorological Magazine 90, 33-49; from memory)."""

ENOUGH = 2 / 3
"""[1] Of an occasion's hours, so many must be there (WMO practice, from memory)."""


class Occasions(NamedTuple):
    """Spans of hours that belong together, g of them."""

    group: NDArray[np.int64]
    """Which occasion each hour belongs to, shape (t,); -1 where to none."""
    meant: Bools
    """Shape (g,): the occasions that are meant."""
    other: Bools
    """Shape (g,): those known to be not. In neither where light or wind is not known."""

    def means(self, values: ArrayLike) -> Array:
        """Mean of the values (t,) over each occasion, shape (g,); NaN where too few of its hours have one."""
        return _means(np.asarray(values, dtype=np.float64), self.group, len(self.meant))


def clear_calm_nights(
    solar_seconds: ArrayLike, sun_elevation: ArrayLike, light: ArrayLike, wind: ArrayLike
) -> Occasions:
    """Nights under a clear sky in calm air.

    Parameters
    ----------
    solar_seconds : array_like of int, shape (t,)
        [s] Middles of the hours by the mean sun of the place, since any of its midnights.
    sun_elevation : array_like, shape (t,)
        [deg]
    light : array_like, shape (t,)
        [1] Share of a clear sky's light; NaN where not known.
    wind : array_like, shape (t,)
        [m/s] at ten metres; NaN where not known.

    Returns
    -------
    Occasions
        A night from noon to noon. At night nobody here sees the sky, so the hours up to midnight are taken to
        be as clear as the afternoon before, and those after it as the morning that follows; of a night that is
        meant only its clear half or halves count. The others were clear on neither side, or not calm.
    """
    solar, sun, share = _hours(solar_seconds, sun_elevation, light)
    night, nights = _from_none((solar - DAY // 2) // DAY)
    half = (solar % DAY < DAY // 2).astype(np.int64)
    sky = np.array(
        [_means(share, np.where((sun >= HIGH_ENOUGH) & (half == h), night, -1), nights) for h in (0, 1)]
    )
    clear = np.greater_equal(sky, CLEAR)
    some = clear.any(axis=0)
    counted = (sun < 0) & (clear[half, night] | ~some[night])
    group = np.where(counted, night, -1)
    speed = _means(np.asarray(wind, dtype=np.float64), group, nights)
    known = np.isfinite(speed) & (some | np.isfinite(sky).all(axis=0))
    meant = some & (speed < CALM)
    return Occasions(group, meant, known & ~meant)


def sunny_afternoons(solar_seconds: ArrayLike, sun_elevation: ArrayLike, light: ArrayLike) -> Occasions:
    """Afternoons under a clear sky: from noon by the sun until it stands low. Arguments as above."""
    solar, sun, share = _hours(solar_seconds, sun_elevation, light)
    day, days = _from_none(solar // DAY)
    afternoon = np.where((sun >= HIGH_ENOUGH) & (solar % DAY >= DAY // 2), day, -1)
    sky = _means(share, afternoon, days)
    return Occasions(afternoon, np.greater_equal(sky, CLEAR), np.less(sky, CLEAR))


def _hours(solar: ArrayLike, sun: ArrayLike, light: ArrayLike) -> tuple[NDArray[np.int64], Array, Array]:
    return np.asarray(solar, np.int64), np.asarray(sun, np.float64), np.asarray(light, np.float64)


def _from_none(group: NDArray[np.int64]) -> tuple[NDArray[np.int64], int]:
    """The groups counted from 0, and how many there are."""
    if not group.size:
        return group, 0
    counted = group - group.min()
    return counted, int(counted.max()) + 1


def _means(values: Array, group: NDArray[np.int64], groups: int) -> Array:
    inside = group >= 0
    known = inside & np.isfinite(values)
    due = np.bincount(group[inside], minlength=groups)
    count = np.bincount(group[known], minlength=groups)
    total = np.bincount(group[known], values[known], groups)
    return np.where((count > 0) & (count >= ENOUGH * due), total / np.maximum(count, 1), np.nan)
