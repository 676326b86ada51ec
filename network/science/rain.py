"""Rain: from counters to amounts, from amounts to intensity."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

HOUR = 3600

ENOUGH_FOR_A_RATE = 1.0
"""[mm] A rate is worked out over the shortest time that collected this much: five tips of 0.2 mm, so one tip
more or less is a fifth of it (common practice)."""

_INTENSITIES = ((0.0, "light"), (2.5, "moderate"), (10.0, "heavy"), (50.0, "violent"))
"""[mm/h] Where each class begins (WMO-No. 8 present-weather annex, from memory; limits read second-hand)."""


def increments(counter: ArrayLike, modulus: float | None = None) -> NDArray[np.float64]:
    """What was added to a running counter since the value before.

    Parameters
    ----------
    counter : array_like, shape (n,), in order of time
        A total that only grows, until it wraps or is reset to zero.
    modulus : float, optional
        The count at which it wraps to zero: 256, 65536.

    Returns
    -------
    ndarray, shape (n,)
        In the counter's unit. The first is NaN; the whole amount of a gap goes to the first value after it. A
        fall from the top quarter of the modulus to the lowest is a wrap; one to half or less is a reset,
        after which the counter holds what was added since; of any other nobody can say, so it is NaN.
    """
    counter = np.asarray(counter, dtype=np.float64)
    added = np.full(counter.shape, np.nan)
    known = np.flatnonzero(np.isfinite(counter))
    before, now = counter[known[:-1]], counter[known[1:]]
    size = np.nan if modulus is None else modulus
    wrapped = (before >= 0.75 * size) & (now <= 0.25 * size)
    added[known[1:]] = np.select(
        [now >= before, wrapped, now <= before / 2], [now - before, now - before + size, now], default=np.nan
    )
    return added


def tip_size(volume: ArrayLike, area: ArrayLike) -> NDArray[np.float64]:
    """Rain [mm] in one tip of a bucket [m3] beneath a funnel [m2]. NaN where either is missing."""
    return 1000 * np.asarray(volume, dtype=np.float64) / np.asarray(area, dtype=np.float64)


def intensity(seconds: ArrayLike, amount: ArrayLike) -> NDArray[np.float64]:
    """Rate of rain at each time, over as short a time as its amounts can carry.

    Parameters
    ----------
    seconds : array_like, shape (n,), rising
        [s] Ends of the periods in which the amounts fell.
    amount : array_like, shape (n,)
        [mm] Per period.

    Returns
    -------
    ndarray, shape (n,)
        [mm/h] Over the shortest run of last periods that brought 1 mm, or over the last hour if that brought
        less: one tip is about 0.2 mm/h, never a spike. NaN where the amount is missing; earlier missing
        amounts count as none, so next to them the rate is a lower bound.
    """
    seconds = np.asarray(seconds, dtype=np.int64)
    amount = np.asarray(amount, dtype=np.float64)
    fallen = np.cumsum(np.where(np.isfinite(amount), amount, 0.0))
    enough = np.searchsorted(fallen, fallen - ENOUGH_FOR_A_RATE + 1e-9, side="right") - 1
    since = np.maximum(enough, 0)
    span = seconds - seconds[since]
    short = (enough >= 0) & (span > 0) & (span <= HOUR)
    an_hour_ago = np.searchsorted(seconds, seconds - HOUR, side="right")
    of_the_hour = fallen - np.concatenate([[0.0], fallen])[an_hour_ago]
    rate = np.where(short, (fallen - fallen[since]) * HOUR / np.where(short, span, 1), of_the_hour)
    return np.where(np.isfinite(amount), rate, np.nan)


def intensity_class(rate: ArrayLike) -> NDArray[np.str_]:
    """Word for a rate of rain [mm/h]: none, light, moderate, heavy or violent; '' where missing."""
    rate = np.asarray(rate, dtype=np.float64)
    words = np.array([word for _, word in _INTENSITIES])
    begins = [limit for limit, _ in _INTENSITIES]
    found = words[np.clip(np.searchsorted(begins, rate, side="right") - 1, 0, len(words) - 1)]
    return np.asarray(np.select([np.isnan(rate), rate <= 0], ["", "none"], default=found))
