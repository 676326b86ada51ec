"""Wind: vectors, ten-minute means and gusts, spread of direction, height, and the Beaufort scale.

Directions are where the wind comes from, in degrees clockwise from north. North is 360, a calm has none.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

CALM = 0.05
"""[m/s] A vector shorter than this has no direction: what is left of it is rounding (common practice)."""

TEN_MINUTES = 600
"""[s] Mean and gust belong to the ten minutes before the time (WMO-No. 306 Vol. I.2, B/C1.10.5.3)."""

LEAST_ROUGHNESS_LENGTHS = 20.0
"""[1] Nearer the ground than this many roughness lengths the logarithmic law is a guess (common practice)."""

_BEAUFORT = (
    (0.0, "calm"),
    (0.3, "light air"),
    (1.6, "light breeze"),
    (3.4, "gentle breeze"),
    (5.5, "moderate breeze"),
    (8.0, "fresh breeze"),
    (10.8, "strong breeze"),
    (13.9, "near gale"),
    (17.2, "gale"),
    (20.8, "strong gale"),
    (24.5, "storm"),
    (28.5, "violent storm"),
    (32.7, "hurricane"),
)
"""[m/s] Where each force begins, and its name (public tables of the Beaufort scale)."""


def components(
    speed: ArrayLike, from_direction: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Eastward and northward components (u, v) [m/s] of a wind [m/s, degrees].

    NaN where either is missing; but a wind of 0 needs no direction.
    """
    speed = np.asarray(speed, dtype=np.float64)
    radians = np.radians(np.asarray(from_direction, dtype=np.float64))
    still = speed == 0
    eastward = np.where(still, 0.0, -speed * np.sin(radians))
    northward = np.where(still, 0.0, -speed * np.cos(radians))
    return eastward, northward


def speed_and_direction(
    eastward: ArrayLike, northward: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Speed [m/s] and direction [degrees, 360 for north] from components [m/s]. No direction in a calm."""
    eastward = np.asarray(eastward, dtype=np.float64)
    northward = np.asarray(northward, dtype=np.float64)
    speed = np.hypot(eastward, northward)
    degrees = np.degrees(np.arctan2(-eastward, -northward)) % 360
    degrees = np.where(degrees == 0, 360.0, degrees)
    return np.asarray(speed), np.where(speed < CALM, np.nan, degrees)


def vector_mean(
    speed: ArrayLike, from_direction: ArrayLike, axis: int = -1
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Speed [m/s] and direction [degrees] of the mean vector along an axis.

    Missing winds are left out; NaN where none is left.
    """
    eastward, northward = components(speed, from_direction)
    return speed_and_direction(_mean(eastward, axis), _mean(northward, axis))


def ten_minute_mean(seconds: ArrayLike, speed: ArrayLike) -> NDArray[np.float64]:
    """Mean of the speeds of the ten minutes up to and with each time.

    Parameters
    ----------
    seconds : array_like, shape (n,), rising
        [s] Ends of the periods measured; they need not be evenly spaced.
    speed : array_like, shape (n,)
        [m/s]

    Returns
    -------
    ndarray, shape (n,)
        [m/s]. Missing speeds are left out; NaN where the ten minutes hold none.
    """
    speed = np.asarray(speed, dtype=np.float64)
    known = np.isfinite(speed)
    begins = _window_begins(seconds)
    total = _running_total(np.where(known, speed, 0.0), begins)
    count = _running_total(known.astype(np.float64), begins)
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def ten_minute_direction(
    seconds: ArrayLike, speed: ArrayLike, from_direction: ArrayLike
) -> NDArray[np.float64]:
    """Direction [degrees] of the mean vector of the ten minutes up to and with each time.

    Shapes and missing values as in ``ten_minute_mean``; NaN too where the winds cancel.
    """
    eastward, northward = components(speed, from_direction)
    eastward, northward = ten_minute_mean(seconds, eastward), ten_minute_mean(seconds, northward)
    return speed_and_direction(eastward, northward)[1]


def ten_minute_gust(seconds: ArrayLike, gust: ArrayLike) -> NDArray[np.float64]:
    """Highest gust [m/s] of the ten minutes up to and with each time.

    Shapes and missing values as in ``ten_minute_mean``. Gusts of 3 s and maxima of longer averages differ:
    never mix them.
    """
    gust = np.asarray(gust, dtype=np.float64)
    begins = _window_begins(seconds)
    ends = np.arange(1, len(gust) + 1)
    # reduceat takes pairs (begin, end): every second result is the window, the others join two windows.
    padded = np.append(gust, np.nan)
    highest: NDArray[np.float64] = np.fmax.reduceat(padded, np.column_stack([begins, ends]).ravel())[::2]
    return highest


def direction_spread(from_direction: ArrayLike, axis: int = -1) -> NDArray[np.float64]:
    """Standard deviation of wind direction [degrees] along an axis.

    Missing directions are left out; NaN where none is left.
    Source: Yamartino (1984), single-pass estimator (read second-hand).
    """
    radians = np.radians(np.asarray(from_direction, dtype=np.float64))
    sine, cosine = _mean(np.sin(radians), axis), _mean(np.cos(radians), axis)
    spread = np.sqrt(np.maximum(1 - sine**2 - cosine**2, 0))
    return np.asarray(np.degrees(np.arcsin(spread) * (1 + (2 / np.sqrt(3) - 1) * spread**3)))


def at_height(
    speed: ArrayLike, height: ArrayLike, to_height: ArrayLike, roughness: ArrayLike
) -> NDArray[np.float64]:
    """Speed at another height above open ground, in neutral air.

    Parameters
    ----------
    speed, height, to_height, roughness : array_like, broadcast together
        [m/s], [m above ground], [m above ground], roughness length [m]

    Returns
    -------
    ndarray, the shape of all together
        [m/s]. NaN where any is missing, or either height lies below 20 roughness lengths: among houses and
        hedges no law holds.

    Source: logarithmic wind profile without displacement.
    """
    height = np.asarray(height, dtype=np.float64)
    to_height = np.asarray(to_height, dtype=np.float64)
    roughness = np.asarray(roughness, dtype=np.float64)
    lawful = (roughness > 0) & (np.minimum(height, to_height) >= LEAST_ROUGHNESS_LENGTHS * roughness)
    length = np.where(lawful, roughness, np.nan)
    return np.asarray(speed, dtype=np.float64) * np.log(to_height / length) / np.log(height / length)


def beaufort(speed: ArrayLike) -> NDArray[np.float64]:
    """Beaufort force 0 to 12 of a ten-minute mean at 10 m [m/s]; never of a gust. NaN where missing."""
    tenths = np.round(np.asarray(speed, dtype=np.float64), 1)
    force = np.searchsorted([begins for begins, _ in _BEAUFORT], tenths, side="right") - 1
    return np.where(np.isnan(tenths), np.nan, force)


def beaufort_words(force: ArrayLike) -> NDArray[np.str_]:
    """Names of Beaufort forces, such as 'gentle breeze'; '' where missing."""
    force = np.asarray(force, dtype=np.float64)
    names = np.array([name for _, name in _BEAUFORT] + [""])
    return np.asarray(names[np.where(np.isnan(force), len(_BEAUFORT), force).astype(np.intp)])


def _mean(values: NDArray[np.float64], axis: int) -> NDArray[np.float64]:
    """Mean of the finite values along an axis, NaN where there are none, without numpy's warning."""
    known = np.isfinite(values)
    count = known.sum(axis=axis)
    total = np.where(known, values, 0.0).sum(axis=axis)
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def _window_begins(seconds: ArrayLike) -> NDArray[np.intp]:
    """Index of the first value of the ten minutes that end at each time."""
    seconds = np.asarray(seconds, dtype=np.int64)
    return np.searchsorted(seconds, seconds - TEN_MINUTES, side="right")


def _running_total(values: NDArray[np.float64], begins: NDArray[np.intp]) -> NDArray[np.float64]:
    total = np.concatenate([[0.0], np.cumsum(values)])
    return np.asarray(total[1:] - total[begins])
