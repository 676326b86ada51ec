"""The straight line through points whose two coordinates both carry errors."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

FEWEST = 3
"""Points without which a line has no scatter to judge it by."""

ROUNDS = 100
"""At most so many; a few dozen settle a slope to its last digit."""

SURE = 1.645
"""Standard errors on either side that hold nine of ten."""


class Line(NamedTuple):
    """y = intercept + slope x; every figure NaN where the points tell no line."""

    slope: float
    intercept: float
    slope_error: float
    """Standard error from the stated errors alone."""
    intercept_error: float
    covariance: float
    """Of slope and intercept."""
    misfit: float
    """[1] Square sum of the weighted departures over n - 2: about 1 where the stated errors explain the scatter."""
    points: int

    def widened(self, independent: float | None = None) -> "Line":
        """The same line, its errors grown to the scatter that is there.

        ``independent`` [1] is how many of the points are worth an independent one; all, if left out. Scatter
        beyond the stated errors grows them, scatter below never shrinks them.

        Source: Cantrell (2008), Atmospheric Chemistry and Physics 8, 5477, eq. 21 for the scatter.
        """
        factor = max(self.misfit, 1.0)
        if independent is not None:
            factor *= self.points / max(independent, FEWEST)
        return self._replace(
            slope_error=self.slope_error * float(np.sqrt(factor)),
            intercept_error=self.intercept_error * float(np.sqrt(factor)),
            covariance=self.covariance * factor,
        )

    def at(self, x: ArrayLike) -> tuple[Array, Array]:
        """The line and its standard error at ``x``, any shape."""
        x = np.asarray(x, dtype=np.float64)
        variance = self.intercept_error**2 + 2 * x * self.covariance + (x * self.slope_error) ** 2
        return self.intercept + self.slope * x, np.sqrt(np.maximum(variance, 0.0))


NOTHING = Line(np.nan, np.nan, np.nan, np.nan, np.nan, np.nan, 0)


def line(x: ArrayLike, y: ArrayLike, x_error: ArrayLike, y_error: ArrayLike) -> Line:
    """The most likely line through points with independent errors in both coordinates.

    Parameters
    ----------
    x, y : array_like, shape (n,)
        Any two units; a point with either missing (NaN) is left out.
    x_error, y_error : array_like, numbers or shape (n,)
        Standard errors, above 0. Where all points have the same two, this is Deming's line.

    Returns
    -------
    Line
        Slope in units of y over x, intercept in the unit of y. NaN with fewer than three points, or where
        they have one x and one y.

    Raises
    ------
    ValueError
        Where an error is not above 0.

    Source: York, Evensen, Martínez and De Basabe Delgado (2004), American Journal of Physics 72, 367-375,
    section III, without correlation between the errors of a point.
    """
    table: Array = np.stack(
        np.broadcast_arrays(*(np.asarray(e, np.float64) for e in (x, y, x_error, y_error)))
    )
    table = table[:, np.isfinite(table).all(axis=0)]
    across, up, error_across, error_up = table
    if (table[2:] <= 0).any():
        raise ValueError("Every point needs errors above 0 in both coordinates.")
    if across.size < FEWEST or not (np.ptp(across) > 0 or np.ptp(up) > 0):
        return NOTHING._replace(points=across.size)
    slope = _first_slope(across, up, float(np.median(error_across)), float(np.median(error_up)))
    weight_across, weight_up = error_across**-2.0, error_up**-2.0
    for _ in range(ROUNDS):
        weight = weight_across * weight_up / (weight_across + slope**2 * weight_up)
        u, v = across - np.average(across, weights=weight), up - np.average(up, weights=weight)
        moved = weight * (u / weight_up + slope * v / weight_across)
        before, slope = slope, float((weight * moved * v).sum() / (weight * moved * u).sum())
        if not np.isfinite(slope):
            return NOTHING._replace(points=across.size)
        if abs(slope - before) <= 1e-13 * abs(slope):
            break
    return _judged(across, up, slope, weight, moved)


def _judged(x: Array, y: Array, slope: float, weight: Array, moved: Array) -> Line:
    """The line of that slope with its errors, by the points moved onto it."""
    mean_x, mean_y = np.average(x, weights=weight), np.average(y, weights=weight)
    adjusted = mean_x + moved
    middle = np.average(adjusted, weights=weight)
    variance = 1.0 / (weight * (adjusted - middle) ** 2).sum()
    intercept = mean_y - slope * mean_x
    misfit = (weight * (y - intercept - slope * x) ** 2).sum() / (x.size - 2)
    return Line(
        slope,
        float(intercept),
        float(np.sqrt(variance)),
        float(np.sqrt(1.0 / weight.sum() + middle**2 * variance)),
        float(-middle * variance),
        float(misfit),
        int(x.size),
    )


def _first_slope(x: Array, y: Array, x_error: float, y_error: float) -> float:
    """Deming's slope, which is the answer where all errors are alike, and a good start elsewhere."""
    ratio = (y_error / x_error) ** 2
    xx, yy = x.var(), y.var()
    xy = ((x - x.mean()) * (y - y.mean())).mean()
    if xy == 0.0:
        return 0.0 if yy < ratio * xx else 1e6 * y_error / x_error
    return float((yy - ratio * xx + np.sqrt((yy - ratio * xx) ** 2 + 4 * ratio * xy**2)) / (2 * xy))
