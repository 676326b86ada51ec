"""How much wider standard errors must be for their intervals to hold what they say."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.special import ndtri

WIDEST = 3.0
"""Beyond this the values do not correct a model but contradict it, and the model should be looked at."""

ENOUGH = 30  # departures: fewer tell no share of one in ten

Floats = NDArray[np.float64]


def widening(departure: ArrayLike, error: ArrayLike, noise: ArrayLike = 0.0, share: float = 0.9) -> float:
    """The factor on ``error`` with which ``share`` of the departures lie within their intervals.

    Parameters
    ----------
    departure : array_like
        What was observed minus what was expected of it without it; NaN is passed over.
    error, noise : array_like, shapes that broadcast to it
        Standard errors of the field, which the factor scales, and of the instruments, which it does not.
    share : float

    Returns
    -------
    float
        Between one and three; 1 where there are too few departures to say. Never less: departures smaller
        than they might be show that the instruments are better than was stated, for a station left out
        cannot tell what it misses between the stations from what its own instrument adds.

    Source: split conformal prediction (Vovk et al. 2005, from memory), with one factor for the whole field.
    """
    size, field_error, own = np.broadcast_arrays(np.abs(departure), error, noise)
    known = np.isfinite(size) & np.isfinite(field_error)
    size, field_error, own = size[known], field_error[known], own[known]
    if size.size < ENOUGH:
        return 1.0
    reach = ndtri((1 + share) / 2)

    def beyond(factor: float) -> float:
        return float(np.quantile(size / np.hypot(factor * field_error, own), share) - reach)

    if beyond(1.0) <= 0:
        return 1.0
    return WIDEST if beyond(WIDEST) >= 0 else float(brentq(beyond, 1.0, WIDEST, xtol=1e-4))
