"""Two stations pair by pair: how they differ, by what the differences go, and whether that may be chance."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import bdtr, stdtrit

Array = NDArray[np.float64]

LIKELY = 0.9
"""[1] What an interval holds."""

CHANCE = 0.05
"""[1] What chance would do more rarely than this counts as told (common practice)."""


class Spread(NamedTuple):
    """Each group's middle half and size: arrays of shape (groups,), NaN where a group is empty."""

    median: Array
    lower: Array
    """Quartile."""
    upper: Array
    size: NDArray[np.int64]


class Signs(NamedTuple):
    """Paired differences told by their signs alone; figures in the unit of the differences."""

    median: float
    low: float
    """Nine times in ten the median lies between ``low`` and ``high``; NaN where there are too few."""
    high: float
    below: int
    above: int
    size: int
    """With those of exactly 0."""
    chance: float
    """[1] How often chance alone would be as one-sided, either way."""

    @property
    def told(self) -> bool:
        """Whether they are one-sided beyond chance."""
        return self.chance < CHANCE


class Ratio(NamedTuple):
    """A ratio of totals [1] with its interval; NaN where there is none."""

    ratio: float
    low: float
    high: float
    size: int


def turn(difference: ArrayLike) -> Array:
    """A difference of directions [deg], the short way round: from -180 to 180."""
    return (np.asarray(difference, dtype=np.float64) + 180.0) % 360.0 - 180.0


def by_group(values: ArrayLike, group: ArrayLike, groups: int) -> Spread:
    """Median and quartiles of each group's values.

    Parameters
    ----------
    values : array_like, shape (n,)
        NaN are left out.
    group : array_like of int, shape (n,)
        From 0 to ``groups`` - 1; what lies outside belongs to none.
    """
    found, which = np.asarray(values, dtype=np.float64), np.asarray(group, dtype=np.int64)
    held = np.isfinite(found) & (which >= 0) & (which < groups)
    found, which = found[held], which[held]
    ordered = found[np.lexsort((found, which))]
    count = np.bincount(which, minlength=groups)
    begins = np.concatenate([[0], np.cumsum(count)[:-1]])
    median, lower, upper = (_quantile(ordered, begins, count, share) for share in (0.5, 0.25, 0.75))
    return Spread(median, lower, upper, count)


def signs(differences: ArrayLike) -> Signs:
    """The sign test and the interval of the median, of independent differences of shape (n,); NaN left out.

    Source: Conover (1999), Practical Nonparametric Statistics, sections 3.2 and 3.4.
    """
    found = np.asarray(differences, dtype=np.float64)
    found = np.sort(found[np.isfinite(found)])
    below, above, size = int((found < 0).sum()), int((found > 0).sum()), found.size
    if not size:
        return Signs(np.nan, np.nan, np.nan, 0, 0, 0, 1.0)
    chance = min(2 * float(bdtr(min(below, above), below + above, 0.5)), 1.0) if below + above else 1.0
    # The median lies beyond the ends so often as a coin falls so often on one side.
    ends = int((bdtr(np.arange(size), size, 0.5) <= (1 - LIKELY) / 2).sum())
    low, high = (found[ends - 1], found[size - ends]) if ends else (np.nan, np.nan)
    return Signs(float(np.median(found)), float(low), float(high), below, above, size, chance)


def unlike(some: ArrayLike, others: ArrayLike) -> float:
    """How often chance alone would set two samples, shapes (n,) and (m,), as far apart in rank [1].

    Either way; 1 where one of them is empty. NaN are left out.
    Source: Mann and Whitney (1947), as scipy has it.
    """
    from scipy.stats import mannwhitneyu  # slow to load, and most of what imports this folder never asks

    first, second = (np.asarray(each, dtype=np.float64) for each in (some, others))
    first, second = first[np.isfinite(first)], second[np.isfinite(second)]
    return float(mannwhitneyu(first, second).pvalue) if first.size and second.size else 1.0


def ratio_of_totals(some: ArrayLike, others: ArrayLike) -> Ratio:
    """What share of the others' total the first have, over periods of which both have shape (n,).

    Periods of which either is missing (NaN) are left out. Nine times in ten the ratio lies within the
    interval; it is NaN with fewer than three periods, or where the others have nothing.

    Source: Cochran (1977), Sampling Techniques, section 6.3, with Student's t for few periods.
    """
    first, second = (np.asarray(each, dtype=np.float64) for each in (some, others))
    both = np.isfinite(first) & np.isfinite(second)
    first, second, count = first[both], second[both], int(both.sum())
    if second.sum() <= 0:
        return Ratio(np.nan, np.nan, np.nan, count)
    ratio = float(first.sum() / second.sum())
    if count < 3:
        return Ratio(ratio, np.nan, np.nan, count)
    scatter = np.sqrt(((first - ratio * second) ** 2).sum() / (count - 1))
    half = float(stdtrit(count - 1, (1 + LIKELY) / 2) * scatter * np.sqrt(count) / second.sum())
    return Ratio(ratio, ratio - half, ratio + half, count)


def _quantile(ordered: Array, begins: NDArray[np.int64], count: NDArray[np.int64], share: float) -> Array:
    """Of each run of ordered values, by a straight line between the two that the share falls between."""
    place = begins + share * np.maximum(count - 1, 0)
    low = np.floor(place).astype(np.int64)
    high = np.minimum(low + 1, begins + np.maximum(count - 1, 0))
    padded = np.append(ordered, np.nan)
    found = padded[np.minimum(low, ordered.size)] * (1 - (place - low)) + padded[
        np.minimum(high, ordered.size)
    ] * (place - low)
    return np.asarray(np.where(count > 0, found, np.nan))
