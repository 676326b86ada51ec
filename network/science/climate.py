"""Months and years from their days: when a mean or a total may stand for them, and what is counted.

Every array is of the days (or hours) that are due, in their order, NaN where one is not known.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.constants import ZERO_CELSIUS

MOST_MISSING, MOST_IN_A_ROW = 10, 4
"""[days] A month with more of them missing, or more in a row, has no mean (WMO-No. 1203, 2017, from memory)."""

SHARE_NEEDED = 0.66
"""[1] And so many of the days due must be there: a month that has just begun is short (common practice)."""

WET = 1.0
"""[mm] From so much rain on it is a day with rain (WMO's counts of days, from memory)."""


@dataclass(frozen=True)
class Told:
    """A figure, on how many of the periods due it stands, and whether it may stand for all of them."""

    value: float
    known: int
    due: int
    stands: bool

    @property
    def missing(self) -> int:
        return self.due - self.known


def mean_of_days(values: ArrayLike) -> Told:
    """The mean of the days known, shape (d,). It stands for the month as WMO-No. 1203 has it; NaN of no days."""
    values = np.asarray(values, dtype=np.float64)
    known = np.isfinite(values)
    count, due = int(known.sum()), len(values)
    stands = (
        count > 0
        and due - count <= MOST_MISSING
        and longest_gap(values) <= MOST_IN_A_ROW
        and count >= SHARE_NEEDED * due
    )
    return Told(float(values[known].mean()) if count else np.nan, count, due, stands)


def mean_of_hours(values: ArrayLike) -> Told:
    """The mean of a day's hours known, shape (h,). It stands for the day when two thirds of them are there."""
    values = np.asarray(values, dtype=np.float64)
    known = np.isfinite(values)
    count = int(known.sum())
    mean = float(values[known].mean()) if count else np.nan
    return Told(mean, count, len(values), count > 0 and count >= SHARE_NEEDED * len(values))


def total(values: ArrayLike) -> Told:
    """The sum of the hours or days known. With one missing it is a lower bound, and does not stand (WMO-No. 1203)."""
    values = np.asarray(values, dtype=np.float64)
    known = np.isfinite(values)
    count = int(known.sum())
    summed = float(values[known].sum()) if count else np.nan
    return Told(summed, count, len(values), 0 < count == len(values))


def count_where(values: ArrayLike, condition: NDArray[np.bool_]) -> Told:
    """On how many of the days known the condition held: of all of them when none is missing."""
    known = np.isfinite(np.asarray(values, dtype=np.float64))
    count = int(known.sum())
    found = float((known & condition).sum()) if count else np.nan
    return Told(found, count, len(known), 0 < count == len(known))


def longest_gap(values: ArrayLike) -> int:
    """How many missing values follow each other at most."""
    missing = np.concatenate([[False], np.isnan(np.asarray(values, dtype=np.float64)), [False]])
    edges = np.flatnonzero(np.diff(missing.astype(np.int8)))
    return int((edges[1::2] - edges[::2]).max(initial=0))


def growing_degree_days(low: ArrayLike, high: ArrayLike, base: float) -> NDArray[np.float64]:
    """What each day gives a plant that grows above a base [K, K, K]; in degree days, NaN where either is missing.

    The middle of the two extremes above the base, never below nought.
    Source: McMaster and Wilhelm (1997), method 1 (from memory).
    """
    middle = (np.asarray(low, dtype=np.float64) + np.asarray(high, dtype=np.float64)) / 2
    return np.asarray(np.maximum(middle - base, 0.0))


def frost_days(low: ArrayLike) -> Told:
    """Days whose lowest temperature [K] was below freezing (WMO's counts of days, from memory)."""
    low = np.asarray(low, dtype=np.float64)
    return count_where(low, low < ZERO_CELSIUS)


def ice_days(high: ArrayLike) -> Told:
    """Days whose highest temperature [K] stayed below freezing (WMO's counts of days, from memory)."""
    high = np.asarray(high, dtype=np.float64)
    return count_where(high, high < ZERO_CELSIUS)


def wet_days(amount: ArrayLike) -> Told:
    """Days with at least a millimetre of rain [mm]."""
    amount = np.asarray(amount, dtype=np.float64)
    # Tips of 0.2 mm add up to a hair less than a millimetre in binary.
    return count_where(amount, amount > WET - 1e-6)
