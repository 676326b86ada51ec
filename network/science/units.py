"""Units: what every symbol and spelling of the trade means, and arrays turned from one into another.

Symbols are those of SenML (RFC 8428, RFC 8798) and UCUM, with the spellings people type beside them. Two
letters mean here what a keeper means by them, not what SenML does: F is fahrenheit and C is celsius, for no
variable of a weather station is a capacitance or a charge.
"""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

import numpy as np
import pint
from numpy.typing import ArrayLike, NDArray

from network.science.variables import Variable


class UnknownUnit(ValueError):
    """The symbol means nothing here."""


class WrongDimension(ValueError):
    """The symbol is a unit, but of something else."""


@dataclass(frozen=True)
class Unit:
    """One unit, and how it is turned into the first unit of its dimension: value * factor + offset."""

    symbol: str  # as it travels
    sign: str  # as a page writes it
    dimension: str
    offered: bool
    factor: Fraction
    offset: Fraction


# dimension: (symbol, sign, in pint's words, other spellings). Without a sign: understood, not offered.
_UNITS: dict[str, tuple[tuple[str, str, str, str], ...]] = {
    "temperature": (
        ("Cel", "°C", "degC", "C °C degC celsius"),
        ("[degF]", "°F", "degF", "F °F degF fahrenheit"),
        ("K", "K", "kelvin", "kelvin"),
    ),
    "ratio": (
        ("%", "%", "percent", "%RH /100 percent pct"),
        ("1", "of 1", "dimensionless", "/ fraction ratio"),
    ),
    "pressure": (
        ("hPa", "hPa", "hectopascal", "hectopascal"),
        ("Pa", "Pa", "pascal", "pascal"),
        ("kPa", "kPa", "kilopascal", "kilopascal"),
        ("mbar", "mbar", "millibar", "mb millibar"),
        ("[in_i'Hg]", "inHg", "inch_Hg", "inHg in_Hg [in_i]Hg"),
        ("mm[Hg]", "mmHg", "mmHg", "mmHg mm_Hg torr"),
        ("bar", "", "bar", ""),
        ("atm", "", "atmosphere", ""),
        ("[psi]", "", "psi", "psi"),
    ),
    "speed": (
        ("m/s", "m/s", "meter/second", "ms-1 m.s-1 mps"),
        ("km/h", "km/h", "kilometer/hour", "kph kmh km/hr kmh-1"),
        ("[kn_i]", "kn", "knot", "kn kt kts knot knots"),
        ("[mi_i]/h", "mph", "mile/hour", "mph mi/h miles/h"),
        ("[ft_i]/s", "", "foot/second", "ft/s fps"),
    ),
    "angle": (
        ("deg", "°", "degree", "° degree degrees"),
        ("rad", "", "radian", "radian radians"),
    ),
    "length": (
        ("mm", "mm", "millimeter", "millimeter millimetre millimeters millimetres"),
        ("[in_i]", "in", "inch", "in inch inches"),
        # A kilogram (a litre) of water on a square metre stands one millimetre deep.
        ("kg/m2", "kg/m²", "millimeter", "kgm-2"),
        ("l/m2", "l/m²", "millimeter", "lm-2"),
        ("cm", "", "centimeter", "centimeter centimetre"),
        ("m", "", "meter", "meter metre meters metres"),
        ("[ft_i]", "", "foot", "ft foot feet"),
    ),
    "rate of rain": (
        ("mm/h", "mm/h", "millimeter/hour", "mm/hr mmh-1"),
        ("[in_i]/h", "in/h", "inch/hour", "in/h in/hr"),
    ),
    "irradiance": (
        ("W/m2", "W/m²", "watt/meter**2", "Wm-2 W/sqm"),
        ("kW/m2", "kW/m²", "kilowatt/meter**2", "kWm-2"),
        ("mW/cm2", "", "milliwatt/centimeter**2", "mWcm-2"),
    ),
    "illuminance": (
        ("lx", "lx", "lux", "lux"),
        ("klx", "klx", "kilolux", "klux"),
    ),
    "voltage": (
        ("V", "V", "volt", "volt volts"),
        ("mV", "mV", "millivolt", "millivolt millivolts"),
    ),
    "frequency": (
        ("1/s", "per second", "1/second", "Hz hertz /s s-1 pulses/s"),
        ("1/min", "per minute", "1/minute", "/min min-1 rpm pulses/min"),
    ),
    "count": (("count", "count", "dimensionless", "counts pulse pulses tip tips adc raw {count} {pulses}"),),
}


def convert(values: ArrayLike, unit: str, to: str) -> NDArray[np.float64]:
    """Values in one unit, given in another of the same dimension.

    Parameters
    ----------
    values : array_like, any shape
        [unit]
    unit, to : str
        SenML or UCUM symbols, or usual spellings.

    Returns
    -------
    ndarray, same shape
        [to]. NaN stays NaN.

    Raises
    ------
    UnknownUnit, WrongDimension
        With a sentence that names units which fit.

    Source: factors and offsets are those of pint's registry, in exact fractions.
    """
    factor, offset = _conversion(unit, to)
    return np.asarray(values, dtype=np.float64) * factor + offset


def units_for(variable: Variable) -> tuple[str, ...]:
    """Symbols to offer for a variable, the one it is usually shown in first."""
    offered = _offered(find(variable.unit).dimension)
    return tuple(sorted(offered, key=lambda symbol: symbol != variable.shown_unit))


def sign(unit: str) -> str:
    """How a page writes a unit: °C for Cel, mph for [mi_i]/h."""
    found = find(unit)
    return found.sign or found.symbol


def find(unit: str) -> Unit:
    """The unit that a symbol or spelling means; capitals matter only where they make a difference.

    Raises UnknownUnit, with the symbols known.
    """
    spelling = _plain(unit)
    found = _SPELLINGS.get(spelling) or _FOLDED.get(spelling.casefold())
    if found is None:
        raise UnknownUnit(f"'{unit}' is not a unit known here: use one of {_listed(_KNOWN)}.")
    return found


@lru_cache(maxsize=1024)
def _conversion(unit: str, to: str) -> tuple[float, float]:
    target = find(to)
    fitting = _listed(_offered(target.dimension))
    try:
        given = find(unit)
    except UnknownUnit:
        raise UnknownUnit(f"'{unit}' is not a unit of {target.dimension}: use {fitting}.") from None
    if given.dimension == target.dimension:
        return float(given.factor / target.factor), float((given.offset - target.offset) / target.factor)
    if given.dimension == "count":
        raise WrongDimension(
            f"'{unit}' is a raw count, not a {target.dimension}: "
            f"give the channel a calibration that turns counts into {target.symbol}, or send {fitting}."
        )
    raise WrongDimension(
        f"'{unit}' is a unit of {given.dimension}, not of {target.dimension}: use {fitting}."
    )


def _offered(dimension: str) -> tuple[str, ...]:
    return tuple(unit.symbol for unit in _KNOWN.values() if unit.dimension == dimension and unit.offered)


def _listed(symbols: Iterable[str]) -> str:
    *others, last = symbols
    return f"{', '.join(others)} or {last}" if others else last


def _plain(spelling: str) -> str:
    """One way to write a spelling: no blanks, no raised figures, no sign for 'to the power of'."""
    text = unicodedata.normalize("NFKC", spelling).replace("−", "-")
    return "".join(text.split()).replace("**", "").replace("^", "")


def _read_table() -> tuple[dict[str, Unit], dict[str, Unit]]:
    """Ask pint once for every factor and offset; afterwards a conversion is one multiplication.

    In exact fractions, so that no rounding of the table adds to that of the value.
    """
    registry = pint.UnitRegistry(non_int_type=Fraction)
    known: dict[str, Unit] = {}
    spellings: dict[str, Unit] = {}
    for dimension, rows in _UNITS.items():
        reference = rows[0][2]
        for symbol, written, expression, others in rows:
            zero, one = (registry.Quantity(Fraction(n), expression).to(reference).magnitude for n in (0, 1))
            unit = Unit(symbol, written, dimension, bool(written), one - zero, zero)
            known[symbol] = unit
            spellings |= dict.fromkeys([symbol, *others.split()], unit)
    return known, spellings


def _without_capitals(spellings: dict[str, Unit]) -> dict[str, Unit]:
    folded: dict[str, set[Unit]] = {}
    for spelling, unit in spellings.items():
        folded.setdefault(spelling.casefold(), set()).add(unit)
    return {spelling: units.pop() for spelling, units in folded.items() if len(units) == 1}


_KNOWN, _SPELLINGS = _read_table()
_FOLDED = _without_capitals(_SPELLINGS)
