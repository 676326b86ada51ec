"""Water vapour in air: saturation, dew point, wet bulb and their relatives.

Relative humidity is a fraction of 1 and, by the WMO convention, over liquid water at every temperature.
Values above 1, which sensors give in fog, count as 1; negative ones as missing.

Source of the formulas, unless one says otherwise: WMO-No. 8, Guide to Instruments and Methods of Observation,
Annex 4.B (read second-hand).
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.constants import ZERO_CELSIUS

SATURATION_AT_ZERO_CELSIUS = 611.2
"""[Pa] Where the curves over water and over ice meet."""

OVER_WATER = (17.62, 243.12)
OVER_ICE = (22.46, 272.62)
"""[1, °C] Magnus coefficients; fitted for -45 to 60 °C over water and -65 to 0 °C over ice."""

COLDEST = -100.0
"""[°C] The Magnus form has a pole at -243 °C. Far below all weather it is not asked."""

_NEWTON_STEPS = 8  # 5 settle it to 1e-9 K from -60 to 60 °C


def saturation_vapour_pressure(air_temperature: ArrayLike) -> NDArray[np.float64]:
    """Vapour pressure of air saturated over liquid water, in the pure phase.

    Parameters
    ----------
    air_temperature : array_like, any shape
        [K]

    Returns
    -------
    ndarray, same shape
        [Pa]. NaN where the temperature is missing or below -100 °C.
    """
    return _magnus(_celsius(air_temperature), OVER_WATER)


def saturation_vapour_pressure_over_ice(air_temperature: ArrayLike) -> NDArray[np.float64]:
    """Vapour pressure of air saturated over ice [Pa], from its temperature [K]. NaN above 0 °C."""
    celsius = _celsius(air_temperature)
    return np.where(celsius <= 0, _magnus(celsius, OVER_ICE), np.nan)


def vapour_pressure(air_temperature: ArrayLike, relative_humidity: ArrayLike) -> NDArray[np.float64]:
    """Vapour pressure of the air, without the enhancement factor.

    Parameters
    ----------
    air_temperature : array_like
        [K]
    relative_humidity : array_like, broadcast against the temperature
        [1]

    Returns
    -------
    ndarray, the shape of both together
        [Pa]. NaN where either is missing.
    """
    return _capped(relative_humidity) * saturation_vapour_pressure(air_temperature)


def dew_point(air_temperature: ArrayLike, relative_humidity: ArrayLike) -> NDArray[np.float64]:
    """Temperature [K] at which the air, cooled, would be saturated over water.

    From air temperature [K] and relative humidity [1]; never above the air temperature. NaN where either is
    missing or the humidity is 0: air without vapour has no dew point.
    """
    return _temperature_of(vapour_pressure(air_temperature, relative_humidity), OVER_WATER)


def frost_point(air_temperature: ArrayLike, relative_humidity: ArrayLike) -> NDArray[np.float64]:
    """Temperature [K] at which the air, cooled, would be saturated over ice.

    From air temperature [K] and relative humidity over water [1]. NaN where either is missing, the humidity
    is 0, or the frost point would lie above 0 °C. In supersaturated frosty air it may lie above the air
    temperature. Source: the inverse of the curve over ice (from memory).
    """
    frost = _temperature_of(vapour_pressure(air_temperature, relative_humidity), OVER_ICE)
    return np.where(frost <= ZERO_CELSIUS, frost, np.nan)


def wet_bulb(
    air_temperature: ArrayLike, relative_humidity: ArrayLike, pressure: ArrayLike
) -> NDArray[np.float64]:
    """Temperature of an aspirated thermometer whose bulb is covered with liquid water.

    Parameters
    ----------
    air_temperature, relative_humidity, pressure : array_like, broadcast together
        [K], [1], [Pa]

    Returns
    -------
    ndarray, the shape of all together
        [K]. NaN where any is missing.

    Source: psychrometer equation for a water bulb, WMO-No. 8 Annex 4.B (from memory); Newton's method.
    """
    celsius, pressure = _celsius(air_temperature), np.asarray(pressure, dtype=np.float64)
    vapour = _capped(relative_humidity) * _magnus(celsius, OVER_WATER) * enhancement_factor(pressure)
    # The balance is convex and rises with the wet bulb, and the air temperature lies above the root: from
    # there Newton's steps run down to it without overshooting.
    wet = celsius + np.zeros_like(vapour)
    for _ in range(_NEWTON_STEPS):
        saturated = _magnus(wet, OVER_WATER) * enhancement_factor(pressure)
        a, b = OVER_WATER
        slope = saturated * a * b / (b + wet) ** 2
        slope = slope + 6.53e-4 * pressure * (1 - 0.000944 * (celsius - 2 * wet))
        wet = wet - (saturated - _psychrometer(celsius, wet, pressure) - vapour) / slope
    return wet + ZERO_CELSIUS


def relative_humidity_from_wet_bulb(
    air_temperature: ArrayLike, wet_bulb: ArrayLike, pressure: ArrayLike, ice_bulb: ArrayLike = False
) -> NDArray[np.float64]:
    """Relative humidity [1] from an aspirated psychrometer.

    From dry and wet bulb [K], pressure [Pa] and whether the wet bulb is frozen. NaN where any is missing;
    below 0 or above 1 where the two thermometers contradict each other.
    Source: psychrometer coefficients of WMO-No. 8 Annex 4.B (from memory).
    """
    dry, wet = _celsius(air_temperature), _celsius(wet_bulb)
    pressure = np.asarray(pressure, dtype=np.float64)
    moist = enhancement_factor(pressure)
    over_water = moist * _magnus(wet, OVER_WATER) - _psychrometer(dry, wet, pressure)
    over_ice = moist * _magnus(wet, OVER_ICE) - 5.75e-4 * pressure * (dry - wet)
    return np.where(ice_bulb, over_ice, over_water) / (moist * _magnus(dry, OVER_WATER))


def mixing_ratio(
    air_temperature: ArrayLike, relative_humidity: ArrayLike, pressure: ArrayLike
) -> NDArray[np.float64]:
    """Mass of vapour per mass of dry air [kg/kg], from [K], [1] and [Pa]. NaN where any is missing."""
    pressure = np.asarray(pressure, dtype=np.float64)
    vapour = enhancement_factor(pressure) * vapour_pressure(air_temperature, relative_humidity)
    return 0.62198 * vapour / (pressure - vapour)


def absolute_humidity(air_temperature: ArrayLike, relative_humidity: ArrayLike) -> NDArray[np.float64]:
    """Mass of vapour per volume of air [kg m-3], from [K] and [1]. NaN where either is missing.

    Source: the gas law for vapour, 216.68 e / T in g m-3 with e in hPa (from memory).
    """
    kelvin = np.asarray(air_temperature, dtype=np.float64)
    return 2.1668e-3 * vapour_pressure(air_temperature, relative_humidity) / kelvin


def virtual_temperature(
    air_temperature: ArrayLike, relative_humidity: ArrayLike, pressure: ArrayLike
) -> NDArray[np.float64]:
    """Temperature [K] at which dry air would weigh what the moist air weighs, from [K], [1] and [Pa].

    NaN where any is missing. Source: T / (1 - 0.378 e / p) (from memory).
    """
    kelvin = np.asarray(air_temperature, dtype=np.float64)
    vapour = vapour_pressure(air_temperature, relative_humidity)
    return kelvin / (1 - 0.378 * vapour / np.asarray(pressure, dtype=np.float64))


def enhancement_factor(pressure: ArrayLike) -> NDArray[np.float64]:
    """How much more vapour moist air at a pressure [Pa] holds than the pure phase [1]."""
    hectopascal = np.asarray(pressure, dtype=np.float64) / 100
    return 1.0016 + 3.15e-6 * hectopascal - 0.074 / hectopascal


def _celsius(kelvin: ArrayLike) -> NDArray[np.float64]:
    celsius = np.asarray(kelvin, dtype=np.float64) - ZERO_CELSIUS
    return np.where(celsius >= COLDEST, celsius, np.nan)


def _capped(relative_humidity: ArrayLike) -> NDArray[np.float64]:
    humidity = np.asarray(relative_humidity, dtype=np.float64)
    return np.where(humidity >= 0, np.minimum(humidity, 1.0), np.nan)


def _magnus(celsius: NDArray[np.float64], coefficients: tuple[float, float]) -> NDArray[np.float64]:
    a, b = coefficients
    return np.asarray(SATURATION_AT_ZERO_CELSIUS * np.exp(a * celsius / (b + celsius)))


def _temperature_of(vapour: NDArray[np.float64], coefficients: tuple[float, float]) -> NDArray[np.float64]:
    a, b = coefficients
    logarithm = np.log(np.where(vapour > 0, vapour, np.nan) / SATURATION_AT_ZERO_CELSIUS)
    return np.asarray(b * logarithm / (a - logarithm) + ZERO_CELSIUS)


def _psychrometer(
    dry: NDArray[np.float64], wet: NDArray[np.float64], pressure: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Vapour pressure [Pa] by which the air falls short of saturation at the wet bulb [°C]."""
    return 6.53e-4 * (1 + 0.000944 * wet) * pressure * (dry - wet)
