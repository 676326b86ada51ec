"""How quantities are written: figures with their units, units in words, points of the compass."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from network.science.units import convert, sign
from network.science.variables import VARIABLES

UNIT_WORDS = {
    "Cel": "degrees Celsius",
    "%": "per cent",
    "hPa": "hectopascals",
    "m/s": "metres per second",
    "deg": "where it comes from",
    "mm": "millimetres",
    "W/m2": "watts per square metre",
    "V": "volts",
}

COMPASS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")

RAIN_LEAST = 0.05
"""[mm] Less than half a tip is no rain."""


@dataclass(frozen=True)
class Shape:
    """How a quantity that is no variable of the catalogue is written."""

    words: str
    unit: str
    shown_unit: str
    decimals: int


SHAPES = {
    "wet_bulb": Shape("wet bulb", "K", "Cel", 1),
    "vapour_pressure": Shape("vapour pressure", "Pa", "hPa", 1),
    "pressure_tendency": Shape("its change in three hours", "Pa", "hPa", 1),
    "ten_minute_wind": Shape("wind, mean of ten minutes", "m/s", "m/s", 1),
    "ten_minute_direction": Shape("from, mean of ten minutes", "deg", "deg", 0),
    "ten_minute_gust": Shape("highest gust of ten minutes", "m/s", "m/s", 1),
    "rain_today": Shape("rain today", "mm", "mm", 1),
    "rain_intensity": Shape("rain intensity", "mm/h", "mm/h", 1),
    "wind_chill": Shape("wind chill", "K", "Cel", 0),
    "heat_index": Shape("heat index", "K", "Cel", 0),
}


def words_of(name: str) -> str:
    """What a quantity is called."""
    return SHAPES[name].words if name in SHAPES else VARIABLES[name].words


def in_shown_unit(name: str, values: float | np.ndarray) -> np.ndarray:
    """Values of a quantity in the unit it is shown in."""
    entry = SHAPES.get(name) or VARIABLES[name]
    return convert(values, entry.unit, entry.shown_unit)


def figure(name: str, value: float) -> str:
    """The bare figure, with a true minus sign; '' where there is none."""
    entry = SHAPES.get(name) or VARIABLES[name]
    return "" if np.isnan(value) else written(float(in_shown_unit(name, value)), entry.decimals)


def written(value: float, decimals: int) -> str:
    """A figure with a true minus sign and no minus nought."""
    return f"{round(value, decimals) + 0.0:.{decimals}f}".replace("-", "−")


def unit_sign(name: str) -> str:
    """How the unit of a quantity is written."""
    return sign((SHAPES.get(name) or VARIABLES[name]).shown_unit)


def amount(name: str, value: float) -> str:
    """Figure and unit: '−3.4 °C'."""
    return _with_unit(figure(name, value), name)


def difference(name: str, value: float, decimals: int | None = None) -> str:
    """A difference of two values, without its sign: '0.4 °C'."""
    from_zero = in_shown_unit(name, np.array([abs(value), 0.0]))
    places = VARIABLES[name].decimals if decimals is None else decimals
    return _with_unit(written(float(from_zero[0] - from_zero[1]), places), name)


def _with_unit(text: str, name: str) -> str:
    sign = unit_sign(name)
    return f"{text}{sign}" if sign == "°" else f"{text}\N{NO-BREAK SPACE}{sign}"


def compass(direction: float) -> str:
    """The point of the compass a wind comes from [deg]."""
    return COMPASS[round(direction / 45) % 8]


def clock(moment: datetime, now: datetime) -> str:
    """A time as one says it on another day or the same: '14:20', '14:20 on Monday 23 November'."""
    if moment.date() == now.date():
        return f"{moment:%H:%M}"
    year = "" if moment.year == now.year else f" {moment.year}"
    return f"{moment:%H:%M} on {moment:%A} {moment.day} {moment:%B}{year}"


def how_long(seconds: float) -> str:
    """A length of time in words: '40 seconds', '3 hours', '2 days'."""
    for size, word in ((86400, "day"), (3600, "hour"), (60, "minute")):
        if seconds >= (2 if word != "minute" else 1) * size:
            count = round(seconds / size)
            return f"{count} {word}{'' if count == 1 else 's'}"
    return f"{round(seconds)} seconds"
