"""Is a series of one piece? Where its mean breaks, where it leaves its level, and what its own memory costs."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_COUNTS = (10, 12, 16, 20, 24, 30, 40, 50, 60, 70, 80, 100, 150, 200)
_CRITICAL = {
    0.90: (4.964, 5.288, 5.749, 6.070, 6.315, 6.592, 6.921, 7.154, 7.333, 7.475, 7.591, 7.778, 8.086, 8.286),
    0.95: (5.637, 6.068, 6.674, 7.089, 7.400, 7.747, 8.151, 8.432, 8.647, 8.814, 8.951, 9.167, 9.519, 9.741),
    0.99: (
        *(6.769, 7.459, 8.440, 9.113, 9.609, 10.153, 10.771),
        *(11.193, 11.498, 11.737, 11.928, 12.228, 12.694, 12.982),
    ),
}
"""By level, for each of ``_COUNTS`` values. Khaliq and Ouarda (2007), International Journal of Climatology 27,
read second-hand; they hold for the n - 1 standard deviation."""


def standard_normal_homogeneity(values: ArrayLike) -> tuple[float, int]:
    """How much better two means explain a series than one, and how many values come before the break.

    Parameters
    ----------
    values : array_like, shape (n,), n >= 2, none missing
        Station minus reference, about normal and about independent of one another (``effective_share``
        where they are not).

    Returns
    -------
    statistic, before : float, int
        The highest T(k) = k z1² + (n - k) z2², z1 and z2 the standardised means before and after place k;
        at most n - 1. 0 and 0 for a series without any change.

    Source: Alexandersson (1986), A homogeneity test applied to precipitation data, Journal of Climatology
    6, 661-675 (form read second-hand), with the n - 1 standard deviation.
    """
    values = np.asarray(values, dtype=np.float64)
    n = values.size
    if n < 2 or not np.isfinite(values).all():
        raise ValueError("The homogeneity test needs at least two values, and none missing: leave gaps out.")
    from_mean = values - values.mean()
    variance = float(from_mean @ from_mean) / (n - 1)
    if variance <= (1e-12 * np.abs(values).max()) ** 2:
        return 0.0, 0
    k = np.arange(1, n)
    sums = np.cumsum(from_mean)[:-1]
    statistic = (sums**2 / k + sums**2 / (n - k)) / variance
    best = int(np.argmax(statistic))
    return float(statistic[best]), best + 1


def critical_value(n: int, level: float = 0.99) -> float:
    """What the statistic of ``n`` values without a break stays below with this chance: 0.90, 0.95 or 0.99.

    Between the counts of the table by the logarithm of n, beyond 200 as at 200. Infinite below 10 values,
    of which nothing can be said.

    Source: Khaliq and Ouarda (2007), read second-hand.
    """
    if level not in _CRITICAL:
        raise ValueError(f"There is no table for the level {level}: use 0.90, 0.95 or 0.99.")
    if n < _COUNTS[0]:
        return float("inf")
    return float(np.interp(np.log(n), np.log(_COUNTS), _CRITICAL[level]))


def autocorrelation(residuals: ArrayLike) -> float:
    """Correlation [1] of each value with the one before, shape (n,), mean about 0; pairs with NaN passed over.

    0 where there are no pairs.
    """
    residuals = np.asarray(residuals, dtype=np.float64)
    pairs = residuals[1:] * residuals[:-1]
    known = np.isfinite(pairs)
    power = np.nanmean(residuals**2) if np.isfinite(residuals).any() else 0.0
    return float(pairs[known].mean() / power) if known.any() and power > 0 else 0.0


def effective_share(correlation: float) -> float:
    """What share [1] of the values counts where each remembers the one before: (1 - r) / (1 + r).

    A memory below 0 is not taken as a gain. Source: Leith (1973) for a first-order autoregressive series, as
    in Wilks, Statistical Methods in the Atmospheric Sciences (from memory).
    """
    r = min(max(correlation, 0.0), 0.95)
    return (1.0 - r) / (1.0 + r)


def cumulative_sums(standardised: ArrayLike, slack: float = 0.5) -> tuple[Floats, Floats]:
    """How far the values have run above their level, and below it, since they last kept to it.

    Parameters
    ----------
    standardised : array_like, shape (n,)
        Distance from the level in standard deviations; NaN says nothing.
    slack : float
        Half the shift to find soonest, in standard deviations.

    Returns
    -------
    above, below : ndarray, shape (n,)
        Not below 0. With a slack of 0.5, values without a shift pass 5 once in 465, those shifted by a
        standard deviation after 10.4 (Montgomery, Introduction to Statistical Quality Control, from memory).

    Source: Page (1954), Continuous inspection schemes, Biometrika 41, 100-115, in the tabular form.
    """
    values = np.asarray(standardised, dtype=np.float64)
    return _climbed(values - slack), _climbed(-values - slack)


def _climbed(steps: Floats) -> Floats:
    """Height of a walk above its lowest point so far, the start included."""
    walk = np.cumsum(np.where(np.isnan(steps), 0.0, steps))
    return np.asarray(walk - np.minimum(np.minimum.accumulate(walk), 0.0))
