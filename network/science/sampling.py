"""How much a series that remembers itself is worth: independent values, and the standard error of its mean."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.fft import next_fast_len


def independent_values(values: ArrayLike) -> float:
    """How many independent values would tell the mean as well as this series does.

    Parameters
    ----------
    values : array_like, shape (n,)
        At even steps, any unit; NaN where missing.

    Returns
    -------
    float
        [1] Between 1 and the number of values; 0 where there is none.

    Source: Wilks (2011), Statistical Methods in the Atmospheric Sciences, section 5.2.4, with the
    autocorrelations summed in pairs up to the first pair that is not positive (Geyer 1992, Practical Markov
    chain Monte Carlo; from memory).
    """
    values = np.asarray(values, dtype=np.float64)
    known = np.isfinite(values)
    count = int(known.sum())
    if count < 3:
        return float(count)
    correlation = _autocorrelation(np.where(known, values - values[known].mean(), 0.0), known)
    pairs = correlation[: correlation.size // 2 * 2].reshape(-1, 2).sum(axis=1)
    ends = np.flatnonzero(pairs <= 0)
    held = pairs[: ends[0]] if ends.size else pairs
    return float(np.clip(count / max(2 * held.sum() - 1, 1.0), 1.0, count))


def standard_error_of_mean(values: ArrayLike, independent: float | None = None) -> float:
    """Standard error of the mean of a series at even steps, shape (n,), in its unit.

    NaN are passed over, and the series' memory is counted: ``independent`` is what ``independent_values`` says
    of it, where that is known already. NaN where fewer than two values are independent of each other.
    """
    values = np.asarray(values, dtype=np.float64)
    if independent is None:
        independent = independent_values(values)
    return float(values[np.isfinite(values)].std() / np.sqrt(independent - 1)) if independent >= 2 else np.nan


def _autocorrelation(centred: NDArray[np.float64], known: NDArray[np.bool_]) -> NDArray[np.float64]:
    """By lag up to half the length: mean product of the pairs that are there, over the variance; 0 without pairs."""
    half = max(centred.size // 2, 2)
    products, pairs = _products(np.stack([centred, known]), half)
    pairs = np.round(pairs)
    correlation = np.zeros(half)
    correlation[0] = 1.0
    if products[0] > 0:
        np.divide(products, pairs * (products[0] / pairs[0]), out=correlation, where=pairs > 0)
    return correlation


def _products(values: NDArray[np.float64], lags: int) -> NDArray[np.float64]:
    """Sum of products of each row's values that lie 0, 1, 2 ... steps apart, shape (rows, lags)."""
    length = next_fast_len(values.shape[1] + lags, real=True)  # room that keeps the ends apart
    spectrum = np.fft.rfft(values, length)
    products: NDArray[np.float64] = np.fft.irfft(np.abs(spectrum) ** 2, length)[:, :lags]
    return products
