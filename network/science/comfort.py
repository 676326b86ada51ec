"""How air feels: wind chill, heat index and apparent temperature, each only within the range it was made for.

They inform and do not warn: the national weather service's warnings take precedence over any of them.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.constants import ZERO_CELSIUS

WARMEST_WIND_CHILL = 10.0
SLOWEST_WIND_CHILL = 4.8
"""[°C, km/h] Wind chill is defined up to the one and above the other (US National Weather Service)."""

HEAT_INDEX_RANGE = (80.0, 112.0)
"""[°F] From the lowest of the chart to the highest the equation's page speaks of (US National Weather
Service); beyond, the regression runs away."""

_ROUNDING = 1e-6  # a limit given in another scale must not fall outside by its last bit


def wind_chill(air_temperature: ArrayLike, wind_speed: ArrayLike) -> NDArray[np.float64]:
    """Temperature [K] that still air would need to cool a face as fast.

    Parameters
    ----------
    air_temperature, wind_speed : array_like, broadcast together
        [K], ten-minute mean at 10 m [m/s]

    Returns
    -------
    ndarray, the shape of both together
        [K]. NaN above 10 °C, in winds up to 4.8 km/h, and where either is missing.

    Source: Environment and Climate Change Canada and US National Weather Service (2001), metric form.
    """
    celsius = np.asarray(air_temperature, dtype=np.float64) - ZERO_CELSIUS
    speed = 3.6 * np.asarray(wind_speed, dtype=np.float64)
    defined = (celsius <= WARMEST_WIND_CHILL + _ROUNDING) & (speed > SLOWEST_WIND_CHILL)
    power = np.where(defined, speed, np.nan) ** 0.16
    return 13.12 + 0.6215 * celsius - 11.37 * power + 0.3965 * celsius * power + ZERO_CELSIUS


def heat_index(air_temperature: ArrayLike, relative_humidity: ArrayLike) -> NDArray[np.float64]:
    """Temperature [K] that air of ordinary humidity would need to strain a person as much, in shade.

    Parameters
    ----------
    air_temperature, relative_humidity : array_like, broadcast together
        [K], [1]

    Returns
    -------
    ndarray, the shape of both together
        [K]. NaN below 80 °F (26.7 °C), above 112 °F (44.4 °C), outside 0 to 100 %, and where either is
        missing. Full sun may add up to 8 °C.

    Source: US National Weather Service, Weather Prediction Center, The Heat Index Equation.
    """
    t = (np.asarray(air_temperature, dtype=np.float64) - ZERO_CELSIUS) * 1.8 + 32
    r = 100 * np.asarray(relative_humidity, dtype=np.float64)
    low, high = HEAT_INDEX_RANGE
    defined = (t >= low - _ROUNDING) & (t <= high + _ROUNDING) & (r >= 0) & (r <= 100)
    t, r = np.where(defined, t, np.nan), np.where(defined, r, np.nan)
    # The page's "averaged with the temperature" is this 0.5 already; averaging again is a known mistake.
    simple = 0.5 * (t + 61 + 1.2 * (t - 68) + 0.094 * r)
    fahrenheit = np.where(simple < 80, simple, rothfusz(t, r) + _heat_index_adjustment(t, r))
    return (fahrenheit - 32) / 1.8 + ZERO_CELSIUS


def rothfusz(t: NDArray[np.float64], r: NDArray[np.float64]) -> NDArray[np.float64]:
    """The regression behind the heat index chart [°F], from [°F] and [%], without adjustments."""
    return (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 0.00683783 * t**2
        - 0.05481717 * r**2
        + 0.00122874 * t**2 * r
        + 0.00085282 * t * r**2
        - 0.00000199 * t**2 * r**2
    )


def _heat_index_adjustment(t: NDArray[np.float64], r: NDArray[np.float64]) -> NDArray[np.float64]:
    dry = (r < 13) & (t >= 80) & (t <= 112)
    damp = (r > 85) & (t >= 80) & (t <= 87)
    less = (13 - r) / 4 * np.sqrt(np.maximum(17 - np.abs(t - 95), 0) / 17)
    more = (r - 85) / 10 * (87 - t) / 5
    return np.select([dry, damp], [-less, more], default=0.0)


def apparent_temperature(
    air_temperature: ArrayLike, relative_humidity: ArrayLike, wind_speed: ArrayLike
) -> NDArray[np.float64]:
    """Apparent temperature [K] in shade, from [K], [1] and the ten-minute mean at 10 m [m/s].

    NaN where any is missing. Source: Steadman (1994), form of the Australian Bureau of Meteorology
    (read second-hand).
    """
    celsius = np.asarray(air_temperature, dtype=np.float64) - ZERO_CELSIUS
    saturation = 6.105 * np.exp(17.27 * celsius / (237.7 + celsius))
    vapour = np.asarray(relative_humidity, dtype=np.float64) * saturation
    wind_speed = np.asarray(wind_speed, dtype=np.float64)
    return celsius + 0.33 * vapour - 0.70 * wind_speed - 4.00 + ZERO_CELSIUS
