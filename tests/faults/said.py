"""What one station's board says over some weeks, beside the truth at its place."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from network.science.units import convert
from network.science.variables import VARIABLES

Floats = NDArray[np.float64]
Seconds = NDArray[np.int64]
Bools = NDArray[np.bool_]

SPOKEN = {
    "air_temperature": ("t", "Cel", 0.1),
    "relative_humidity": ("rh", "%", 1.0),
    "station_pressure": ("p", "hPa", 0.1),
    "wind_speed": ("wind", "m/s", 0.1),
    "wind_gust": ("gust", "m/s", 0.1),
    "wind_from_direction": ("dir", "deg", 1.0),
    "rain_amount": ("rain", "mm", 0.2),
    "irradiance": ("sun", "W/m2", 1.0),
    "battery_voltage": ("batt", "V", 0.01),
}
"""Variable: the channel's name, the unit it sends, and its resolution in that unit."""

MEASURED = tuple(SPOKEN)

ACCURACY = {
    "air_temperature": 0.3,
    "relative_humidity": 3.0,
    "station_pressure": 0.5,
    "wind_speed": 0.4,
    "wind_gust": 0.8,
    "wind_from_direction": 5.0,
    "rain_amount": 0.1,
    "irradiance": 30.0,
    "battery_voltage": 0.05,
}
"""Standard error of a common home instrument in the unit it sends (common practice)."""


@dataclass(frozen=True)
class Said:
    """One station. Every array has shape (t,), a value for each report; NaN where nothing is said."""

    seconds: Seconds
    """The true end of the period measured, UTC epoch [s], every five minutes."""
    told: Seconds
    """The time the board claims [s]."""
    values: Mapping[str, Floats]
    """By variable, in the unit the channel is registered with."""
    truth: Mapping[str, Floats]
    """By variable, in the catalogue's unit; also ``sun_elevation`` and ``sun_azimuth`` [deg]."""
    elevation: float
    """[m]"""
    elsewhere: Mapping[str, Floats]
    """What the same instruments would say in another garden, far up or down the hill."""

    def saying(self, where: Bools, **values: Floats | float) -> "Said":
        """The same, but for these variables (t,) at these reports (t,)."""
        changed = {name: np.where(where, new, self.values[name]) for name, new in values.items()}
        return replace(self, values={**self.values, **changed})


def rounded(variable: str, values: Floats) -> Floats:
    """Values in the unit sent, at the steps its instrument can show."""
    resolution = SPOKEN[variable][2]
    return np.round(np.round(values / resolution) * resolution, 4)


def in_unit_sent(variable: str, values: Floats) -> Floats:
    """From the catalogue's unit to that of the channel."""
    return np.asarray(convert(values, VARIABLES[variable].unit, SPOKEN[variable][1]))


def tips(rain: Floats) -> Floats:
    """What a tipping bucket says of rain [mm] in each report, shape (t,)."""
    bucket = SPOKEN["rain_amount"][2]
    return np.round(np.diff(np.floor(np.cumsum(rain) / bucket + 1e-9), prepend=0.0) * bucket, 4)
