"""How quantities are written: figures with their units, units in words, points of the compass."""

from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from django.utils import dateformat, translation
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from network.science.units import convert, sign
from network.science.variables import VARIABLES, Variable
from network.science.wind import beaufort
from network.web.reader import BEAUFORT, PLACES, reader

UNIT_WORDS = {
    "Cel": gettext_noop("degrees Celsius"),
    "[degF]": gettext_noop("degrees Fahrenheit"),
    "%": gettext_noop("per cent"),
    "hPa": gettext_noop("hectopascals"),
    "[in_i'Hg]": gettext_noop("inches of mercury"),
    "m/s": gettext_noop("metres per second"),
    "km/h": gettext_noop("kilometres per hour"),
    "[kn_i]": gettext_noop("knots"),
    "[mi_i]/h": gettext_noop("miles per hour"),
    BEAUFORT: gettext_noop("force on the Beaufort scale"),
    "deg": gettext_noop("where it comes from"),
    "mm": gettext_noop("millimetres"),
    "[in_i]": gettext_noop("inches"),
    "W/m2": gettext_noop("watts per square metre"),
    "V": gettext_noop("volts"),
}

COMPASS = (
    gettext_noop("north"),
    gettext_noop("north-east"),
    gettext_noop("east"),
    gettext_noop("south-east"),
    gettext_noop("south"),
    gettext_noop("south-west"),
    gettext_noop("west"),
    gettext_noop("north-west"),
)

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
    return _(_entry(name).words)


def usual_unit(name: str) -> str:
    """The unit of a quantity for whoever has not chosen, whatever the reader has."""
    return _entry(name).shown_unit


def shown_unit(name: str) -> str:
    """The unit the reader wants a quantity in."""
    chosen = reader().unit(usual_unit(name))
    return usual_unit(name) if chosen == BEAUFORT and "gust" in name else chosen


def unit_in_words(name: str) -> str:
    """The reader's unit of a quantity in words; its symbol where it has none."""
    unit = shown_unit(name)
    return _(UNIT_WORDS[unit]) if unit in UNIT_WORDS else unit


def decimals_of(name: str) -> int:
    """How many decimals a quantity has in the reader's unit."""
    return max(0, _entry(name).decimals + PLACES.get(shown_unit(name), 0))


def in_shown_unit(name: str, values: float | np.ndarray) -> np.ndarray:
    """Values of a quantity in the reader's unit."""
    return in_unit(values, _entry(name).unit, shown_unit(name))


def in_usual_unit(name: str, values: float | np.ndarray) -> np.ndarray:
    """Values of a quantity in the unit of files, which no reader changes."""
    return convert(values, _entry(name).unit, usual_unit(name))


def in_unit(values: float | np.ndarray, unit: str, shown: str) -> np.ndarray:
    """Values in one unit, given in another; also as forces of the Beaufort scale."""
    return beaufort(convert(values, unit, "m/s")) if shown == BEAUFORT else convert(values, unit, shown)


def figure(name: str, value: float) -> str:
    """The bare figure, with a true minus sign; '' where there is none."""
    return "" if np.isnan(value) else written(float(in_shown_unit(name, value)), decimals_of(name))


def written(value: float, decimals: int) -> str:
    """A figure with a true minus sign, no minus nought, and the decimal sign of the reader's language."""
    text = f"{round(value, decimals) + 0.0:.{decimals}f}".replace("-", "−")
    return text.replace(".", ",") if translation.get_language() == "de" else text


def plain(value: object) -> str:
    """A figure with as many decimals as it has, in the reader's language; a word as it is."""
    if not isinstance(value, float):
        return str(value)
    text = f"{value:g}".replace("-", "−")
    return text.replace(".", ",") if translation.get_language() == "de" else text


def unit_sign(name: str) -> str:
    """How the reader's unit of a quantity is written."""
    return sign_of(shown_unit(name))


def amount(name: str, value: float) -> str:
    """Figure and unit: '−3.4 °C'."""
    return _with_unit(figure(name, value), unit_sign(name))


def rounded(name: str, value: float, unit: str, decimals: int = 0) -> str:
    """A value that is given in a unit of its own, coarsely, in the reader's: '7 °C', '45 °F'."""
    return _with_unit(bare(name, value, unit, decimals), unit_sign(name))


def bare(name: str, value: float, unit: str, decimals: int = 0) -> str:
    """The same without its unit."""
    shown = shown_unit(name)
    return written(float(in_unit(value, unit, shown)), decimals + max(0, PLACES.get(shown, 0)))


def difference(name: str, value: float, decimals: int | None = None) -> str:
    """A difference of two values, without its sign: '0.4 °C'."""
    unit = difference_unit(name)
    places = decimals_of(name) if decimals is None else decimals
    return _with_unit(written(abs(in_difference_unit(name, value)), places), sign_of(unit))


def difference_unit(name: str) -> str:
    """The reader's unit of a difference: forces of a scale have none."""
    return usual_unit(name) if shown_unit(name) == BEAUFORT else shown_unit(name)


def in_difference_unit(name: str, value: float) -> float:
    """A difference of two values [canonical unit], with its sign, in the reader's unit."""
    some, none = convert([value, 0.0], _entry(name).unit, difference_unit(name))
    return float(some - none)


def _entry(name: str) -> Shape | Variable:
    return SHAPES.get(name) or VARIABLES[name]


def sign_of(unit: str) -> str:
    """How a unit is written; also the Beaufort scale."""
    return _("Bft") if unit == BEAUFORT else sign(unit)


def _with_unit(text: str, sign: str) -> str:
    return f"{text}{sign}" if sign == "°" else f"{text}\N{NO-BREAK SPACE}{sign}"


def at_least(text: str, stands: bool) -> str:
    """A sum or count as it is, or as a lower bound where it does not stand for the whole: '≥ 3.2'."""
    return text if stands else f"≥\N{NO-BREAK SPACE}{text}"


def compass(direction: float) -> str:
    """The point of the compass a wind comes from [deg]."""
    return _(COMPASS[round(direction / 45) % 8])


def hour(moment: datetime, seconds: bool = False) -> str:
    """A time of the day on the reader's clock: '14:20', '2:20 pm'."""
    minute = f"{moment:%M:%S}" if seconds else f"{moment:%M}"
    if reader().clock == "24":
        return f"{moment:%H}:{minute}"
    half = "am" if moment.hour < 12 else "pm"
    return f"{(moment.hour - 1) % 12 + 1}:{minute}\N{NO-BREAK SPACE}{half}"


def by_format(when: date, form: str) -> str:
    """By a format of Django's date filter, with the reader's clock for H:i and the language's figure of a day for j."""
    before, clocked, after = form.partition("H:i")
    seconds = after.startswith(":s")
    parts = [dateformat.format(when, _spelt(one)) for one in (before, after[2 * seconds :])]
    told = hour(when, seconds) if clocked and isinstance(when, datetime) else ""
    return told.join(parts)


def _spelt(form: str) -> str:
    known = _(form) if form else ""
    return known if known != form else form.replace("j", _("j F").removesuffix(" F"))


def day_words(day: date, *, weekday: bool = False, year: bool = False) -> str:
    """A day in the reader's language: '23 November', 'Monday 23 November 2026'."""
    # Translators: formats of Django's date filter.
    if weekday:
        return dateformat.format(day, _("l j F Y") if year else _("l j F"))
    short = dateformat.format(day, _("j F Y") if year else _("j F"))
    return short.replace(" ", "\N{NO-BREAK SPACE}")


def clock(moment: datetime, now: datetime) -> str:
    """A time as one says it on another day or the same: '14:20', '14:20 on Monday 23 November'."""
    if moment.date() == now.date():
        return hour(moment)
    day = day_words(moment, weekday=True, year=moment.year != now.year)
    return _("{time} on {day}").format(time=hour(moment), day=day)


def how_long(seconds: float) -> str:
    """A length of time in words: '40 seconds', '3 hours', '2 days'."""
    if seconds >= 2 * 86400:
        count = round(seconds / 86400)
        return ngettext("{count} day", "{count} days", count).format(count=count)
    if seconds >= 2 * 3600:
        count = round(seconds / 3600)
        return ngettext("{count} hour", "{count} hours", count).format(count=count)
    if seconds >= 60:
        count = round(seconds / 60)
        return ngettext("{count} minute", "{count} minutes", count).format(count=count)
    return _("{count} seconds").format(count=round(seconds))
