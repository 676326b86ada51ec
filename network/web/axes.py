"""Round steps for isolines and scales."""

from math import ceil, floor, log10

import numpy as np
from numpy.typing import NDArray


def round_step(least: float) -> float:
    """The smallest of 1, 2 and 5 times a power of ten that is no smaller than ``least``."""
    power = 10.0 ** floor(log10(least))
    return next(times * power for times in (1, 2, 5, 10) if times * power >= least * (1 - 1e-9))


def multiples(step: float, low: float, high: float) -> NDArray[np.float64]:
    """The multiples of ``step`` from ``low`` to ``high``."""
    return np.arange(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1) * step


def decimals(step: float) -> int:
    """How many decimals a multiple of the step needs."""
    return max(0, -floor(log10(step) + 1e-9))
