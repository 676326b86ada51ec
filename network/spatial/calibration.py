"""How much wider or narrower standard errors must be for their intervals to hold what they say."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.special import ndtri

NARROWEST, WIDEST = 0.5, 3.0
"""Beyond these the values do not correct a model but contradict it, and the model should be looked at."""

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
        Between a half and three; 1 where there are too few departures to say.

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

    if beyond(NARROWEST) <= 0:
        return NARROWEST
    return WIDEST if beyond(WIDEST) >= 0 else float(brentq(beyond, NARROWEST, WIDEST, xtol=1e-4))
