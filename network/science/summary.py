"""Summaries: what stands for an hour, a day or a month, with the count of values behind it."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science import wind
from network.science.variables import Summary

SHARE_NEEDED = 0.66
"""[1] Of the values due, so many must be there before a period has a mean (WMO practice, from memory)."""


def summarise(
    values: ArrayLike,
    groups: ArrayLike,
    kind: Summary,
    *,
    due: ArrayLike = 0,
    speed: ArrayLike | None = None,
) -> dict[str, NDArray[np.float64]]:
    """Mean, low, high, total and count of each group of values.

    Parameters
    ----------
    values : array_like, shape (n,)
        Missing ones (NaN) are left out.
    groups : array_like of int, shape (n,)
        Which period each value belongs to: 0, 1, 2 ...
    kind : {"mean", "sum", "maximum", "direction"}
        As in the catalogue. A direction has a mean on the circle only; only amounts have a total.
    due : array_like, shape (g,) or one number, optional
        How many values each period should have. Below 66 % of it the period has a count and nothing else.
    speed : array_like, shape (n,), optional
        [m/s] Weighs directions by the wind, which gives the direction of the mean vector.

    Returns
    -------
    dict of ndarray, shape (g,)
        ``mean``, ``low``, ``high``, ``total`` in the unit of the values and ``count``; g is the highest group
        plus one, or the length of ``due``. NaN where a figure has no meaning or too few values.
    """
    values = np.asarray(values, dtype=np.float64)
    groups = np.asarray(groups, dtype=np.intp)
    known = np.isfinite(values)
    if speed is not None:
        known &= np.isfinite(np.asarray(speed, dtype=np.float64))
    size = max(int(groups.max(initial=-1)) + 1, np.size(due) if np.ndim(due) else 0)
    count = np.bincount(groups[known], minlength=size)
    enough = count >= np.maximum(1, SHARE_NEEDED * np.asarray(due))
    nothing = np.full(size, np.nan)
    figures = {"mean": nothing, "low": nothing, "high": nothing, "total": nothing}
    if kind == "direction":
        weights = np.ones(values.shape) if speed is None else np.asarray(speed, dtype=np.float64)
        figures["mean"] = _direction(values[known], weights[known], groups[known], count)
    else:
        figures |= _figures(values[known], groups[known], count)
        if kind != "sum":
            figures["total"] = nothing
    kept = {name: np.where(enough, figure, np.nan) for name, figure in figures.items()}
    return kept | {"count": count.astype(np.float64)}


def _figures(
    values: NDArray[np.float64], groups: NDArray[np.intp], count: NDArray[np.intp]
) -> dict[str, NDArray[np.float64]]:
    low, high = np.full(count.shape, np.inf), np.full(count.shape, -np.inf)
    np.minimum.at(low, groups, values)
    np.maximum.at(high, groups, values)
    total = np.bincount(groups, values, minlength=len(count))
    return {"mean": total / np.maximum(count, 1), "low": low, "high": high, "total": total}


def _direction(
    directions: NDArray[np.float64],
    weights: NDArray[np.float64],
    groups: NDArray[np.intp],
    count: NDArray[np.intp],
) -> NDArray[np.float64]:
    # Average on the circle: the mean of 350° and 10° is north.
    eastward, northward = (
        np.bincount(groups, part, minlength=len(count)) / np.maximum(count, 1)
        for part in wind.components(weights, directions)
    )
    return wind.speed_and_direction(eastward, northward)[1]
