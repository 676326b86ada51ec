"""What sunshine and wind do to a thermometer, as far as a station can tell: the load of the sun on it."""

from collections.abc import Mapping

import numpy as np

from network.quality.window import Floats

FULL_SUN = 800.0
"""[W/m2] In this and in calm air the load is 1."""

HALVING_WIND = 3.0
"""[m/s] A wind of this takes half the load away (common practice)."""

USUAL_WIND = 1.5
"""[m/s] In a garden, where no one measures it."""


def load(clear_sky: Floats, *seen: Mapping[str, Floats]) -> Floats:
    """The load of the sun on a thermometer [1], shape (n,): 1 in full sun and calm air.

    Light and wind [W/m2, m/s] are taken from the first of ``seen`` that has them, reading by reading. Without
    any light the sky counts as clear, without wind the air as a garden's.
    """
    light, wind = clear_sky, np.full(clear_sky.shape, USUAL_WIND)
    for values in reversed(seen):
        light = _first_of(values.get("irradiance", light), light)
        wind = _first_of(values.get("wind_speed", wind), wind)
    return np.asarray(np.maximum(light, 0.0) / FULL_SUN / (1.0 + np.maximum(wind, 0.0) / HALVING_WIND))


def _first_of(values: Floats, otherwise: Floats) -> Floats:
    return np.where(np.isfinite(values), values, otherwise)
