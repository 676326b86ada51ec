"""What an instrument must be able to read at a place, before the place has a record of its own.

A coarse rule of thumb: a village's own record is better in every case.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.constants import ZERO_CELSIUS
from network.science.pressure import standard_atmosphere_pressure
from network.science.variables import Variable

WARMEST_NIGHT, PER_DEGREE, PER_METRE = 24.0, 0.75, 0.0065
"""[°C], [K per degree of latitude], [K/m] of the coldest night of a common year."""

COLDEST_ERROR = 10.0
"""[K] Coasts are milder by so much, the insides of continents colder."""

PRESSURE_SWING = (6000.0, 4000.0)
"""[Pa] How far below and above the standard atmosphere a station's pressure goes in most years."""


class Expected(NamedTuple):
    """What to expect at a place in most years, in the variable's unit; NaN where there is no rule."""

    low: float
    high: float


def coldest_night(latitude: ArrayLike, elevation: ArrayLike) -> NDArray[np.float64]:
    """The coldest night of a common year.

    Parameters
    ----------
    latitude, elevation : array_like, broadcast together
        [degrees north], [m]

    Returns
    -------
    ndarray
        [K], give or take ``COLDEST_ERROR``. NaN where either is missing.

    Source: common practice; a line through cities from the equator to the polar circle, from memory.
    """
    away = np.abs(np.asarray(latitude, dtype=np.float64))
    lowered = PER_DEGREE * away + PER_METRE * np.asarray(elevation, dtype=np.float64)
    return np.asarray(ZERO_CELSIUS + WARMEST_NIGHT - lowered)


def expected(variable: Variable, latitude: float, elevation: float) -> Expected:
    """What an instrument of a variable has to reach at a place: common practice, coarse."""
    if variable.name == "air_temperature":
        return Expected(float(coldest_night(latitude, elevation)), np.nan)
    if variable.name == "relative_humidity":
        return Expected(np.nan, 1.0)
    if variable.name == "station_pressure":
        usual = float(standard_atmosphere_pressure(elevation))
        return Expected(usual - PRESSURE_SWING[0], usual + PRESSURE_SWING[1])
    return Expected(np.nan, np.nan)
