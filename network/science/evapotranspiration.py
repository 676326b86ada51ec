"""Reference evapotranspiration: what a well-watered meadow gives off in a day, by FAO-56 Penman-Monteith.

Source of every formula: Allen, Pereira, Raes and Smith (1998), Crop evapotranspiration, FAO Irrigation and
Drainage Paper 56, by the numbers of its equations (read second-hand in public copies). Radiation is in the
paper's own unit, MJ on a square metre in a day; everything else is in the catalogue's.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.constants import ZERO_CELSIUS

SOLAR_CONSTANT = 0.0820
"""[MJ m-2 min-1] As the paper has it; the catalogue of constants has a newer one."""

STEFAN_BOLTZMANN = 4.903e-9
"""[MJ m-2 K-4 day-1]"""

ALBEDO = 0.23
"""[1] Of the reference meadow."""

MEGAJOULES = 0.0864
"""[MJ m-2 day-1] One watt on a square metre for a day."""

Array = NDArray[np.float64]


def reference_evapotranspiration(
    low: ArrayLike,
    high: ArrayLike,
    vapour_pressure: ArrayLike,
    wind_speed: ArrayLike,
    shortwave: ArrayLike,
    *,
    latitude: ArrayLike,
    elevation: ArrayLike,
    day_of_year: ArrayLike,
    ground_heat: ArrayLike = 0.0,
) -> Array:
    """Reference evapotranspiration of whole days.

    Parameters
    ----------
    low, high : array_like, broadcast with all others
        [K] Lowest and highest air temperature of the day.
    vapour_pressure, wind_speed : array_like
        [Pa], [m/s at 2 m] Their means; ``actual_vapour_pressure`` and ``at_two_metres`` give them.
    shortwave, ground_heat : array_like
        [MJ m-2 day-1] Sunlight that came in; heat the ground took up, nought over a day (eq. 42).
    latitude, elevation, day_of_year : array_like
        [degrees north], [m], 1 to 366

    Returns
    -------
    ndarray, the shape of all together
        [mm/day]. NaN where any is missing.

    Source: FAO-56, eq. 6.
    """
    low, high = (np.asarray(each, dtype=np.float64) for each in (low, high))
    vapour, wind = (np.asarray(each, dtype=np.float64) for each in (vapour_pressure, wind_speed))
    mean = (low + high) / 2
    slope = slope_of_saturation(mean) / 1000  # [kPa/K], as in the paper
    gamma = psychrometric_constant(pressure_at(elevation)) / 1000
    deficit = ((saturation(low) + saturation(high)) / 2 - vapour) / 1000
    radiation = net_radiation(
        low, high, vapour, shortwave, latitude=latitude, elevation=elevation, day_of_year=day_of_year
    ) - np.asarray(ground_heat, dtype=np.float64)
    drying = gamma * 900 / (mean - ZERO_CELSIUS + 273) * wind * deficit
    return np.asarray((0.408 * slope * radiation + drying) / (slope + gamma * (1 + 0.34 * wind)))


def saturation(air_temperature: ArrayLike) -> Array:
    """Vapour pressure of saturated air [Pa] by its temperature [K] (eq. 11). NaN where missing."""
    celsius = np.asarray(air_temperature, dtype=np.float64) - ZERO_CELSIUS
    return np.asarray(610.8 * np.exp(17.27 * celsius / (celsius + 237.3)))


def slope_of_saturation(air_temperature: ArrayLike) -> Array:
    """How saturation rises with temperature [Pa/K], at a temperature [K] (eq. 13). NaN where missing."""
    celsius = np.asarray(air_temperature, dtype=np.float64) - ZERO_CELSIUS
    return 4098 * saturation(air_temperature) / (celsius + 237.3) ** 2


def actual_vapour_pressure(low: ArrayLike, high: ArrayLike, driest: ArrayLike, dampest: ArrayLike) -> Array:
    """Mean vapour pressure of a day [Pa] from its extremes of temperature [K] and humidity [1] (eq. 17).

    NaN where any is missing. The night's cold goes with the dampest air, the afternoon's warmth with the driest.
    """
    driest, dampest = (np.asarray(each, dtype=np.float64) for each in (driest, dampest))
    return np.asarray((saturation(low) * dampest + saturation(high) * driest) / 2)


def pressure_at(elevation: ArrayLike) -> Array:
    """Usual pressure of the air [Pa] at an elevation [m] (eq. 7)."""
    return np.asarray(101300 * ((293 - 0.0065 * np.asarray(elevation, dtype=np.float64)) / 293) ** 5.26)


def psychrometric_constant(pressure: ArrayLike) -> Array:
    """[Pa/K] at a pressure [Pa] (eq. 8)."""
    return 0.665e-3 * np.asarray(pressure, dtype=np.float64)


def at_two_metres(wind_speed: ArrayLike, height: ArrayLike) -> Array:
    """Wind over short grass at 2 m [m/s] from the wind [m/s] at another height [m] (eq. 47).

    NaN where either is missing, or where the height is below half a metre: the law ends in the grass.
    """
    height = np.asarray(height, dtype=np.float64)
    known = np.where(height >= 0.5, height, np.nan)
    return np.asarray(np.asarray(wind_speed, dtype=np.float64) * 4.87 / np.log(67.8 * known - 5.42))


def extraterrestrial(latitude: ArrayLike, day_of_year: ArrayLike) -> Array:
    """Sunlight of a day above the air [MJ m-2 day-1] by latitude [degrees north] and day (eq. 21)."""
    radians, day = np.radians(np.asarray(latitude, dtype=np.float64)), np.asarray(day_of_year)
    nearness = 1 + 0.033 * np.cos(2 * np.pi * day / 365)
    declination = 0.409 * np.sin(2 * np.pi * day / 365 - 1.39)
    # Where the sun never sets, or never rises, the cosine of its setting lies outside -1 .. 1.
    setting = np.arccos(np.clip(-np.tan(radians) * np.tan(declination), -1, 1))
    height = setting * np.sin(radians) * np.sin(declination)
    height = height + np.cos(radians) * np.cos(declination) * np.sin(setting)
    return np.asarray(24 * 60 / np.pi * SOLAR_CONSTANT * nearness * height)


def net_radiation(
    low: ArrayLike,
    high: ArrayLike,
    vapour_pressure: ArrayLike,
    shortwave: ArrayLike,
    *,
    latitude: ArrayLike,
    elevation: ArrayLike,
    day_of_year: ArrayLike,
) -> Array:
    """What the meadow keeps of a day's radiation [MJ m-2 day-1] (eq. 37 to 40).

    Arguments and missing values as in ``reference_evapotranspiration``.
    """
    shortwave = np.asarray(shortwave, dtype=np.float64)
    clear = (0.75 + 2e-5 * np.asarray(elevation, dtype=np.float64)) * extraterrestrial(latitude, day_of_year)
    with np.errstate(divide="ignore", invalid="ignore"):
        # In the polar night there is no telling how clear it was.
        clearness = np.where(clear > 0, np.minimum(shortwave / clear, 1.0), np.nan)
    vapour = np.asarray(vapour_pressure, dtype=np.float64) / 1000
    warmth = (np.asarray(low, dtype=np.float64) ** 4 + np.asarray(high, dtype=np.float64) ** 4) / 2
    longwave = STEFAN_BOLTZMANN * warmth * (0.34 - 0.14 * np.sqrt(vapour)) * (1.35 * clearness - 0.35)
    return np.asarray((1 - ALBEDO) * shortwave - longwave)
