"""How the figures of a calibration are found at home: from a few readings, a litre of water, a drive, or the neighbours.

Each gives the figures and their standard errors, so that a page can say how far they may be trusted.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

METER_ERROR = 0.005
"""[1] Of a common multimeter on its direct-voltage range, with its last digit: common practice."""

POUR_ERROR = 0.01
"""[1] Of a kitchen measure read at eye level: common practice."""

DRIVE_ERROR = 0.5
"""[m/s] Of the air past a car in still weather, driven both ways: common practice."""


class Figure(NamedTuple):
    """A figure with its standard error, both in the figure's unit."""

    value: float
    error: float


class Line(NamedTuple):
    """true = gain x read + offset."""

    gain: float
    offset: float


def points_line(read: ArrayLike, true: ArrayLike) -> Line:
    """What makes readings true.

    ``read`` and ``true`` have shape (n,), in one unit. One point moves all readings alike; of more the straight
    line with the least squares is taken. NaN where all that was read is one value.
    """
    read, true = np.asarray(read, dtype=np.float64), np.asarray(true, dtype=np.float64)
    if read.size == 1:
        return Line(1.0, float(true[0] - read[0]))
    if np.ptp(read) == 0:
        return Line(np.nan, np.nan)
    gain, offset = np.polyfit(read - read[0], true, 1)
    return Line(float(gain), float(offset - gain * read[0]))


def divider_ratio(at_pin: float, battery: float, step: float = 0.0) -> Figure:
    """Battery voltage over voltage at the pin [1], from one reading of a multimeter at the battery.

    ``at_pin`` and ``battery`` are in V, ``step`` is the converter's smallest step [V].
    """
    ratio = battery / at_pin
    return Figure(ratio, ratio * float(np.hypot(METER_ERROR, step / np.sqrt(12) / at_pin)))


def upper_resistance(ratio: float, lower: float) -> float:
    """The resistor between battery and pin [Ohm], from the ratio and the one below it: Ohm's law."""
    return lower * (ratio - 1.0)


def millimetres_per_tip(millilitres: float, tips: float, area: float) -> Figure:
    """Rain that tips a bucket once [mm], from water poured slowly.

    ``area`` is that of the funnel's opening [cm²]. A millilitre over a square centimetre is ten millimetres of
    rain. The error is the measure's, and the water left in the bucket: up to one tip, so a twelfth of its square.
    """
    value = 10.0 * millilitres / area / tips
    return Figure(value, value * float(np.hypot(POUR_ERROR, 1.0 / np.sqrt(12.0) / tips)))


def funnel_area(diameter: float) -> float:
    """Area of a round funnel [cm²], from its diameter [cm]."""
    return float(np.pi * diameter**2 / 4.0)


def rotor_line(frequency: ArrayLike, speed: ArrayLike, speed_error: float) -> tuple[Figure, Figure]:
    """Metres of wind for a pulse, and the offset [m/s], from speeds known beside pulses a second.

    ``frequency`` [1/s] and ``speed`` [m/s] have shape (n,); ``speed_error`` [m/s] is that of each speed. With fewer
    than three points, or where the line would not rise from at least 0, it is drawn through nothing: offset 0.

    Source: least squares; the line v = A f + B as in Pindado et al. (2013).
    """
    f, v = np.asarray(frequency, dtype=np.float64), np.asarray(speed, dtype=np.float64)
    if f.size >= 3 and np.ptp(f) > 0:
        factor, offset = np.polyfit(f, v, 1)
        if factor > 0 and offset >= 0:
            spread = float(np.sum((f - f.mean()) ** 2))
            left = float(np.sqrt(np.sum((v - factor * f - offset) ** 2) / max(f.size - 2, 1)))
            noise = max(speed_error, left)
            at_zero = float(np.sqrt(1.0 / f.size + f.mean() ** 2 / spread))
            return Figure(float(factor), noise / np.sqrt(spread)), Figure(float(offset), noise * at_zero)
    power = float(np.sum(f**2))
    return Figure(float(np.sum(f * v)) / power, speed_error / np.sqrt(power)), Figure(0.0, np.nan)


def from_neighbours(own: ArrayLike, others: ArrayLike) -> Figure:
    """The median of what each neighbour says, with how far they are of one mind.

    Parameters
    ----------
    own : array_like, shape (t,)
        What is asked of each neighbour: of a ratio the logarithm, of a difference the value. NaN where missing.
    others : array_like, shape (n, t)
        The neighbours' at the same times.

    Returns
    -------
    Figure
        Median over the neighbours of each one's median of others minus own; its standard error from their
        spread, as the median absolute deviation has it. NaN without a neighbour; the error NaN with one.
    """
    difference = np.asarray(others, dtype=np.float64) - np.asarray(own, dtype=np.float64)
    told = difference[np.isfinite(difference).sum(axis=1) > 0]
    if not len(told):
        return Figure(np.nan, np.nan)
    each = np.nanmedian(told, axis=1)
    middle = float(np.median(each))
    if len(each) == 1:
        return Figure(middle, np.nan)
    # 1.4826 makes a deviation of it, 1.2533 is the price of a median (both for the normal law).
    spread = 1.4826 * float(np.median(np.abs(each - middle)))
    return Figure(middle, 1.2533 * spread / np.sqrt(len(each)))


def dark_and_bright(values: ArrayLike, elevation: ArrayLike, high: float = 20.0) -> tuple[float, float]:
    """What a light sensor reads at night, and with the sun high in a clear sky.

    ``values`` in any unit and the sun's ``elevation`` [deg] have shape (n,). The median of the night (sun 6° down
    or more), and the highest twentieth of the hours with the sun above ``high``: common practice. NaN where there
    were none.
    """
    values, elevation = np.asarray(values, dtype=np.float64), np.asarray(elevation, dtype=np.float64)
    night = values[(elevation < -6) & np.isfinite(values)]
    day = values[(elevation > high) & np.isfinite(values)]
    dark = float(np.median(night)) if night.size else np.nan
    if not day.size:
        return dark, np.nan
    upwards = not np.isfinite(dark) or np.median(day) >= dark
    return dark, float(np.quantile(day, 0.95 if upwards else 0.05))


def clear_sky_gain(values: ArrayLike, clear: ArrayLike, least: float = 200.0) -> Figure:
    """What to multiply irradiance by, so that its clearest moments agree with a clear sky.

    ``values`` and ``clear`` [W m-2] have shape (n,); only where ``clear`` is above ``least``. The ninth decile of
    their ratio stands for a clear sky, as the brightest moments are the edges of clouds: common practice. Clear-sky
    models differ by up to a fifth, so the error is a tenth.
    """
    values, clear = np.asarray(values, dtype=np.float64), np.asarray(clear, dtype=np.float64)
    there = np.isfinite(values) & (clear > least) & (values > 0)
    if not there.any():
        return Figure(np.nan, np.nan)
    gain = 1.0 / float(np.quantile(values[there] / clear[there], 0.9))
    return Figure(gain, 0.1 * gain)
