"""Whether an instrument can serve the climate of the place: by the village's own record, else by a coarse rule."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from network.science.extremes import COLDEST_ERROR, expected
from network.science.units import sign
from network.science.variables import VARIABLES, Variable
from stations import figures
from stations.models import Placement, Village


@dataclass(frozen=True)
class Extreme:
    """The lowest or highest that a village has measured, and when."""

    value: float  # [the variable's unit]
    at: datetime  # village time


@dataclass(frozen=True)
class Record:
    """What a village has measured of a variable in the last year and a bit."""

    low: Extreme | None = None
    high: Extreme | None = None
    whole_year: bool = False  # it has seen every season


def _no_record(village: Village, variable: str) -> Record:
    return Record()


_asked: list[Callable[[Village, str], Record]] = [_no_record]


def ask_of(record: Callable[[Village, str], Record]) -> None:
    """Name what knows the readings; this folder knows none."""
    _asked[0] = record


def complaint(
    variable: Variable, low: float | None, high: float | None, village: Village, place: Placement | None
) -> str:
    """Why a range [the variable's unit] cannot serve here, in a sentence; empty where it can."""
    record = _asked[0](village, variable.name) if variable.name in _BY_RECORD else Record()
    latitude = place.latitude if place else village.centre[0]
    rule = expected(variable, latitude, place.elevation if place else 0.0)
    if low is not None:
        if record.low is not None and record.low.value < low:
            return f"This one ends at {_shown(variable, low)}; {_told(variable, record.low, 'fell')}. {_low(variable)}"
        if not record.whole_year and rule.low < low:
            return f"This one ends at {_shown(variable, low)}; {_by_rule(variable, rule.low, 'falls')}. {_low(variable)}"
    if high is not None:
        if record.high is not None and record.high.value > high:
            return (
                f"This one ends at {_shown(variable, high)}; {_told(variable, record.high, 'rose')}. {_HIGH}"
            )
        if not record.whole_year and rule.high > high:
            return f"This one ends at {_shown(variable, high)}; {_by_rule(variable, rule.high, 'rises')}. {_HIGH}"
    return ""


_BY_RECORD = ("air_temperature", "relative_humidity", "wind_speed", "wind_gust", "irradiance")
"""Variables that one garden shares with the next; pressure differs by height, a battery is one's own."""

_LOW = "Below its end it shows its lowest value and nothing else; such readings are marked and not believed."
_HIGH = (
    "Beyond its end it shows its highest value and nothing else; such readings are marked and not believed."
)


def _low(variable: Variable) -> str:
    """A frost passes; a height above the sea does not."""
    return f"{_LOW} In the other seasons it serves well." if variable.name == "air_temperature" else _LOW


def _told(variable: Variable, extreme: Extreme, went: str) -> str:
    return f"the village’s own record {went} to {_shown(variable, extreme.value)} on {extreme.at:%-d %B %Y}"


def _by_rule(variable: Variable, value: float, goes: str) -> str:
    if variable.name == "relative_humidity":
        return "on damp nights the air here is saturated, at 100 %"
    if variable.name == "air_temperature":
        doubt = figures.shown_difference(variable, COLDEST_ERROR)
        night = _shown(variable, float(np.round(value - 273.15) + 273.15))
        return (
            f"at this latitude and height it falls to about {night} in most winters "
            f"(a coarse rule, right to {doubt:g} degrees: the village has no whole year of its own yet)"
        )
    return f"at this height it {goes} to about {_shown(variable, float(np.round(value, -2)))} in most years"


def _shown(variable: Variable, value: float) -> str:
    told = round(figures.shown(variable, value), VARIABLES[variable.name].decimals)
    return f"{told:g} {sign(variable.shown_unit)}".replace("-", "−")
