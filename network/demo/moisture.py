"""Moisture: how damp the air mass is, what rain adds, and where it condenses as dew and fog."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.demo.terrain import VALLEY_FLOOR

Array = NDArray[np.float64]

CONDENSING = 0.5
"""[1] The share of a cooling below the dew point that the heat of condensation makes good."""


def carried_dew_point(unheated: Array, dryness: Array, sunlight: Array, elevation: ArrayLike) -> Array:
    """Dew point of the air mass [K]: shape (n, t).

    ``unheated`` (n, t) [K] is its temperature before the day's sun, ``dryness`` (1, t) its own variation in
    standard deviations, ``sunlight`` (t,) [W/m2] what mixes drier air down from above.
    """
    above = np.atleast_1d(np.asarray(elevation, dtype=np.float64) - VALLEY_FLOOR)[:, None]
    depression = np.clip(3.9 + 1.9 * dryness + 0.0025 * sunlight, 0.6, None)
    return np.asarray(unheated - depression - 0.0018 * above)


def moisten(temperature: Array, dew_point: Array, wetness: Array) -> tuple[Array, Array]:
    """Temperature and dew point [K] once wet ground evaporated and saturated air condensed; any shape.

    The dew point comes back no higher than the temperature.
    """
    dry = np.maximum(temperature - dew_point, 0.0)
    temperature = temperature - 0.22 * wetness * dry
    dew_point = dew_point + 0.45 * wetness * dry
    excess = np.maximum(dew_point - temperature, 0.0)
    temperature = temperature + CONDENSING * excess
    return temperature, np.minimum(dew_point, temperature)
