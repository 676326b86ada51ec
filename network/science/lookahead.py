"""What comes after each hour: the targets of whoever learns to foretell."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def fallen_after(totals: ArrayLike, ahead: int) -> tuple[Floats, Floats]:
    """What falls in the ``ahead`` hours after each, and how many of those are known.

    Parameters
    ----------
    totals : array_like, shape (n + ahead,)
        What fell in consecutive hours [mm]; NaN where an hour is not known.
    ahead : int
        Hours looked ahead [h].

    Returns
    -------
    tuple of arrays, shape (n,)
        The sum over hours i + 1 .. i + ahead [mm], NaN unless all of them are known, and the count of those known.
        The hour itself is never in its own target.
    """
    after = np.lib.stride_tricks.sliding_window_view(np.asarray(totals, dtype=np.float64)[1:], ahead)
    known = np.isfinite(after).sum(axis=1)
    return np.where(known == ahead, after.sum(axis=1), np.nan), known.astype(np.float64)
