"""Many small fits at once, a row each."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def fit_rows(values: ArrayLike, causes: ArrayLike, independent: float) -> tuple[Array, Array]:
    """Least squares of each row by the same causes, and the standard errors of the coefficients.

    Parameters
    ----------
    values : array_like, shape (rows, k)
    causes : array_like, shape (causes, rows, k)
        What may explain them, a constant among them if one is wanted.
    independent : float
        [1] The share of the values that tells something of its own, less than 1 where errors last: the
        errors grow by its root.

    Returns
    -------
    coefficients, errors : ndarray, shape (causes, rows)
        In the unit of the values over that of the cause. Only columns where all is finite count. NaN where a
        row leaves too little to tell the causes apart.
    """
    values, causes = np.asarray(values, dtype=np.float64), np.asarray(causes, dtype=np.float64)
    there = np.isfinite(values) & np.isfinite(causes).all(axis=0)
    x, y = np.where(there, causes, 0.0), np.where(there, values, 0.0)
    size = np.sqrt((x**2).sum(axis=2, keepdims=True))
    x = x / np.where(size > 0, size, 1.0)
    normal = np.einsum("ark,brk->rab", x, x)
    enough = (np.linalg.cond(normal) < 1e6) & (there.sum(axis=1) > 2 * len(x))
    inverse = np.linalg.inv(np.where(enough[:, None, None], normal, np.eye(len(x))))
    found = np.einsum("rab,brk,rk->ar", inverse, x, y)
    left = np.where(there, y - np.einsum("ar,ark->rk", found, x), 0.0)
    freedom = np.maximum(there.sum(axis=1) * independent - len(x), 1.0)
    variance = (left**2).sum(axis=1) * independent / freedom
    errors = np.sqrt(np.einsum("raa->ar", inverse) * variance / independent)
    scale = np.where(enough, size[:, :, 0], np.nan)
    return found / scale, errors / scale
