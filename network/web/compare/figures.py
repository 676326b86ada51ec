"""How compared quantities are written: values and differences in the one unit in which both make sense."""

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from network.models.storage import Floats
from network.science.units import convert, sign
from network.science.variables import VARIABLES
from network.web.quantities import decimals_of, difference, difference_unit, unit_in_words, written

SPACE = "\N{NO-BREAK SPACE}"

MORE_LESS = {
    "air_temperature": (gettext_noop("{by} warmer"), gettext_noop("{by} colder")),
    "relative_humidity": (gettext_noop("{by} moister"), gettext_noop("{by} drier")),
    "wind_speed": (gettext_noop("{by} windier"), gettext_noop("{by} calmer")),
    "irradiance": (gettext_noop("{by} brighter"), gettext_noop("{by} darker")),
    "surface_wetness": (gettext_noop("{by} wetter"), gettext_noop("{by} drier")),
}
HIGHER_LOWER = gettext_noop("{by} higher"), gettext_noop("{by} lower")
"""Of every other variable."""


def values_in(variable: str, values: Floats | float) -> Floats:
    """Values in the reader's unit of differences: a scale of forces has none, and metres per second stand in."""
    return convert(values, VARIABLES[variable].unit, difference_unit(variable))


def apart_in(variable: str, values: Floats | float) -> Floats:
    """Differences in that unit, where the zero of a scale does not matter."""
    return values_in(variable, values) - values_in(variable, 0.0)


def zero(variable: str) -> float:
    """The nought of that unit, in the catalogue's."""
    return float(convert(0.0, difference_unit(variable), VARIABLES[variable].unit))


def unit(variable: str) -> str:
    """That unit's sign."""
    return sign(difference_unit(variable))


def unit_words(variable: str) -> str:
    """That unit in words, as the head of an axis."""
    return unit(variable) if VARIABLES[variable].summary == "direction" else unit_in_words(variable)


def bare(variable: str, value: float) -> str:
    """A value's bare figure; '' where there is none."""
    return "" if np.isnan(value) else written(float(values_in(variable, value)), decimals_of(variable))


def bare_difference(variable: str, value: float) -> str:
    """A difference's figure with its sign, without the unit: '−0.6', '+0.6', '0.0'; '' where there is none."""
    if np.isnan(value):
        return ""
    text = written(float(apart_in(variable, value)), decimals_of(variable))
    return text if text.startswith("−") or not text.strip("0.,") else f"+{text}"


def less(station: object, base: object) -> str:
    """What a difference is of: the one less the other."""
    return _("{station} less {base}").format(station=station, base=base)


def signed(variable: str, value: float) -> str:
    """A difference with its sign and unit: '−0.6 °C'."""
    text = bare_difference(variable, value)
    return f"{text}{unit(variable)}" if unit(variable) == "°" else f"{text}{SPACE}{unit(variable)}"


def between(variable: str, some: float, other: float) -> str:
    """Two sizes of a difference, the smaller first and without its unit: '0.5 to 0.7 °C'; '' where both read alike."""
    near, far = (
        written(float(abs(apart_in(variable, one))), decimals_of(variable))
        for one in sorted((some, other), key=abs)
    )
    if near == far:
        return ""
    return _("{least} to {most}").format(least=near, most=difference(variable, max(some, other, key=abs)))


def apart(variable: str, value: float) -> str:
    """A difference in words: '0.6 °C warmer'."""
    more, less = MORE_LESS.get(variable, HIGHER_LOWER)
    return _(more if value > 0 else less).format(by=difference(variable, value))
