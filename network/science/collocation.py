"""Triple collocation: how large each instrument's random error is, when none of them is the truth.

Three instruments that see one signal, each with its own offset, gain and independent error, tell each other's
errors from nothing but how they vary together. What only one of them sees counts as its error, be it the
instrument or the place; an error that two share counts against the third.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.sampling import standard_error_of_mean

FEWEST = 100
"""Common times needed: some hundred are wanted for an error to be told to a tenth or two (common practice)."""

SURE = 1.645
"""Standard errors on either side that hold nine of ten."""


@dataclass(frozen=True)
class RandomError:
    """What the others say of one series' random error, in its own unit and scale."""

    error: float
    """Standard deviation; NaN where there is no estimate, and then ``reason`` says why."""
    low: float
    """Nine times in ten it lies between ``low`` and ``high``; 0 where it cannot be told from none."""
    high: float
    correlation: float
    """With the truth [1]; NaN where there is no estimate."""
    times: int
    """How many common times it stands on."""
    reason: str = ""


def collocate(series: ArrayLike) -> list[RandomError]:
    """The random error of each of three or more series, from all of the others.

    Parameters
    ----------
    series : array_like, shape (k, n), k at least 3
        At even steps, in one unit or in several; NaN where missing.

    Returns
    -------
    list of k
        The median over all triples that a series is part of. A variance that comes out negative is no
        error of nought: it is NaN, with the reason.

    Raises
    ------
    ValueError
        With fewer than three series.

    Source: Stoffelen (1998), Toward the true near-surface wind speed, section 3; McColl et al. (2014), Extended
    triple collocation, eqs. 5 and 9. The interval is by the delta method, with the memory of the series counted.
    """
    series = np.asarray(series, dtype=np.float64)
    if series.ndim != 2 or len(series) < 3:
        raise ValueError("Collocation needs three series or more, in the rows of a table.")
    return [_of_all(series, own) for own in range(len(series))]


def collocate_one(series: ArrayLike) -> RandomError:
    """The random error of the first of three or more series alone; otherwise as ``collocate``."""
    series = np.asarray(series, dtype=np.float64)
    if series.ndim != 2 or len(series) < 3:
        raise ValueError("Collocation needs three series or more, in the rows of a table.")
    return _of_all(series, 0)


def _of_all(series: NDArray[np.float64], own: int) -> RandomError:
    others = [i for i in range(len(series)) if i != own]
    found = [_triple(series[[own, *pair]]) for pair in combinations(others, 2)]
    usable = np.array([each for each in found if np.isfinite(each[0])]).reshape(-1, 4)
    if not len(usable):
        times = max(int(each[3]) for each in found)
        few = f"Only {times} times are common to three series; {FEWEST} are needed."
        return _none(
            times, few if times < FEWEST else "The others do not vary together, so they tell nothing."
        )
    variance, error, share, times = np.median(usable, axis=0)
    if variance + SURE * error < 0:
        return _none(int(times), "The others have errors in common, so they cannot tell its own.")
    high = float(np.sqrt(variance + SURE * error))
    if variance < 0:
        reason = "Its error is too small beside what the series share to be told from none."
        return RandomError(np.nan, 0.0, high, np.nan, int(times), reason)
    low = float(np.sqrt(max(variance - SURE * error, 0.0)))
    return RandomError(float(np.sqrt(variance)), low, high, float(np.sqrt(np.clip(share, 0, 1))), int(times))


def _none(times: int, reason: str) -> RandomError:
    return RandomError(np.nan, np.nan, np.nan, np.nan, times, reason)


def _triple(series: NDArray[np.float64]) -> tuple[float, float, float, float]:
    """Error variance of the first of three, its standard error, squared correlation with the truth, times."""
    together = np.isfinite(series).all(axis=0)
    times = float(together.sum())
    if times < FEWEST:
        return np.nan, np.nan, np.nan, times
    common = series[:, together]
    x, y, z = common = common - common.mean(axis=1, keepdims=True)
    (xx, xy, xz), (_, _, yz), _ = (common @ common.T / times).tolist()
    if min(xy, xz, yz) <= 0:
        return np.nan, np.nan, np.nan, times
    signal = xy * xz / yz
    # The estimate to first order as a mean over times: the error of that mean is the error of the estimate.
    influence = np.full(together.shape, np.nan)
    influence[together] = x * (x - signal / xy * y - signal / xz * z) + signal / yz * y * z
    return xx - signal, standard_error_of_mean(influence), signal / xx, times
