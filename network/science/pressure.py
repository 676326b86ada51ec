"""Air pressure: reduced to sea level, against the standard atmosphere, and its tendency."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.constants import (
    DRY_AIR_GAS_CONSTANT,
    STANDARD_GRAVITY,
    STANDARD_LAPSE_RATE,
    STANDARD_PRESSURE,
    STANDARD_TEMPERATURE,
)

STANDARD_EXPONENT = STANDARD_GRAVITY / (DRY_AIR_GAS_CONSTANT * STANDARD_LAPSE_RATE)
"""[1] 5.25588: how pressure follows temperature upwards in the standard atmosphere."""

THREE_HOURS = 10800
TENDENCY_TOLERANCE = 900
"""[s] How far from three hours ago the earlier value may lie (common practice)."""

CODED_STEP = 10.0
"""[Pa] The step in which tendencies are reported (WMO-No. 306 Vol. I.2, B/C1.3.3)."""

BEND = 30.0
"""[Pa] Two halves of the three hours that differ by less are alike: a few steps of a home barometer (common
practice; the rule of WMO-No. 8 was not found)."""


def sea_level_pressure(
    station_pressure: ArrayLike, elevation: ArrayLike, air_temperature: ArrayLike, vapour_pressure: ArrayLike
) -> NDArray[np.float64]:
    """Station pressure reduced to mean sea level, for stations below about 750 m.

    Parameters
    ----------
    station_pressure, elevation, air_temperature, vapour_pressure : array_like, broadcast together
        [Pa], [m above sea level], [K], [Pa]

    Returns
    -------
    ndarray, the shape of all together
        [Pa]. NaN where any is missing.

    Source: WMO-No. 8 Part I ch. 3 (constants read second-hand; 750 m from memory).
    """
    elevation = np.asarray(elevation, dtype=np.float64)
    column = (
        np.asarray(air_temperature, dtype=np.float64)
        + 0.0065 * elevation / 2
        + 0.0012 * np.asarray(vapour_pressure, dtype=np.float64)  # 0.12 K per hPa
    )
    return np.asarray(station_pressure, dtype=np.float64) * 10 ** (0.0148275 * elevation / column)


def standard_atmosphere_pressure(elevation: ArrayLike) -> NDArray[np.float64]:
    """Pressure [Pa] of the standard atmosphere at an elevation [m], below 11 km. NaN where missing.

    Source: ISO 2533:1975 (constants read second-hand).
    """
    fall = STANDARD_LAPSE_RATE * np.asarray(elevation, dtype=np.float64) / STANDARD_TEMPERATURE
    return np.asarray(STANDARD_PRESSURE * (1 - fall) ** STANDARD_EXPONENT)


def standard_atmosphere_elevation(pressure: ArrayLike) -> NDArray[np.float64]:
    """Elevation [m] at which the standard atmosphere has a pressure [Pa]. NaN where missing."""
    ratio = np.asarray(pressure, dtype=np.float64) / STANDARD_PRESSURE
    return np.asarray(STANDARD_TEMPERATURE / STANDARD_LAPSE_RATE * (1 - ratio ** (1 / STANDARD_EXPONENT)))


def station_pressure_from_altimeter(
    altimeter_setting: ArrayLike, elevation: ArrayLike
) -> NDArray[np.float64]:
    """Station pressure [Pa] from a device that sends its altimeter setting (QNH) [Pa], at an elevation [m].

    NaN where either is missing. Source: the ICAO form, heights of the standard atmosphere (from memory).
    """
    setting = standard_atmosphere_elevation(altimeter_setting)
    return standard_atmosphere_pressure(setting + np.asarray(elevation, dtype=np.float64))


def tendency(seconds: ArrayLike, pressure: ArrayLike, span: int = THREE_HOURS) -> NDArray[np.float64]:
    """Change of pressure over the three hours before each time.

    Parameters
    ----------
    seconds : array_like, shape (n,), rising
        [s]
    pressure : array_like, shape (n,)
        [Pa]
    span : int
        [s] Another span than three hours.

    Returns
    -------
    ndarray, shape (n,)
        [Pa]. NaN where the value is missing or none lies within 15 minutes of ``span`` ago.
    """
    seconds = np.asarray(seconds, dtype=np.int64)
    pressure = np.asarray(pressure, dtype=np.float64)
    known = np.isfinite(pressure)
    if not known.any():
        return np.full(pressure.shape, np.nan)
    times, values = seconds[known], pressure[known]
    wanted = seconds - span
    after = np.clip(np.searchsorted(times, wanted), 0, len(times) - 1)
    before = np.maximum(after - 1, 0)
    nearest = np.where(np.abs(times[before] - wanted) <= np.abs(times[after] - wanted), before, after)
    near = np.abs(times[nearest] - wanted) <= TENDENCY_TOLERANCE
    return np.where(near, pressure - values[nearest], np.nan)


def tendency_code(pressures: ArrayLike) -> NDArray[np.float64]:
    """How pressure went over three hours, as a figure of WMO code table 0200.

    Parameters
    ----------
    pressures : array_like, shape (..., k), k >= 4
        [Pa] Equally spaced over the three hours, oldest first.

    Returns
    -------
    ndarray, shape (...)
        0 to 8. NaN where the first, the last or the middle is missing.

    Source: WMO code table 0200 (BUFR 0 10 063) for the meanings; the first half of the three hours is held
    against the second to decide, for the table itself gives no arithmetic.
    """
    pressures = np.asarray(pressures, dtype=np.float64)
    count = pressures.shape[-1]
    if count < 4:
        raise ValueError(f"A tendency needs at least 4 pressures over three hours, and got {count}.")
    middle = (pressures[..., (count - 1) // 2] + pressures[..., count // 2]) / 2
    first_half, second_half = middle - pressures[..., 0], pressures[..., -1] - middle
    change = np.round((first_half + second_half) / CODED_STEP)
    bend = second_half - first_half
    slows_or_turns_down, quickens_or_turns_up = bend < -BEND, bend > BEND
    falls_at_last, rises_at_last = second_half <= -CODED_STEP, second_half >= CODED_STEP
    code = np.select(
        [
            np.isnan(change),
            (change >= 0) & slows_or_turns_down & falls_at_last,
            (change > 0) & slows_or_turns_down,
            (change > 0) & quickens_or_turns_up,
            change > 0,
            (change <= 0) & quickens_or_turns_up & rises_at_last,
            (change < 0) & quickens_or_turns_up,
            (change < 0) & slows_or_turns_down,
            change < 0,
        ],
        [np.nan, 0, 1, 3, 2, 5, 6, 8, 7],
        default=4,
    )
    return np.asarray(code, dtype=np.float64)
