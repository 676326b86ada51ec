"""Figures as a keeper types them, in the unit a variable is shown in, to those the hub keeps, and back."""

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.polynomial import Polynomial

from network.science.calibration import KINDS
from network.science.units import convert, sign
from network.science.variables import Variable

Parameters = Mapping[str, Any]

MINUS = "\N{MINUS SIGN}"

COUNTS = {"period": "each report counts from zero", "total": "the count runs on"}
"""How boards count tips."""

WORDS = COUNTS | {"upper": "between supply and pin", "lower": "between pin and ground"}
"""What the words of a calibration's parameters mean."""


def kept(variable: Variable, shown: float) -> float:
    """A value in the variable's canonical unit."""
    return _tidy(convert(shown, variable.shown_unit, variable.unit))


def shown(variable: Variable, kept: float) -> float:
    """A canonical value in the unit it is shown in."""
    return _tidy(convert(kept, variable.unit, variable.shown_unit))


def kept_difference(variable: Variable, shown: float) -> float:
    """A difference (a resolution, an accuracy) in the canonical unit."""
    return _tidy(shown * _line(variable)[0])


def shown_difference(variable: Variable, kept: float) -> float:
    """A canonical difference in the unit it is shown in."""
    return _tidy(kept / _line(variable)[0])


def kept_parameters(variable: Variable, kind: str, shown: Parameters) -> dict[str, Any]:
    """A calibration's parameters as the hub keeps them. Only curves are in the variable's own unit."""
    factor, offset = _line(variable)
    return _TURNED.get(kind, _as_they_are)(shown, factor, offset)


def shown_parameters(variable: Variable, kind: str, kept: Parameters) -> dict[str, Any]:
    """A calibration's parameters as its keeper typed them."""
    factor, offset = _line(variable)
    return _TURNED.get(kind, _as_they_are)(kept, 1 / factor, -offset / factor)


def unit_of(parameter_unit: str, variable: Variable) -> str:
    """The sign of a calibration parameter's unit; empty for pure numbers."""
    if parameter_unit == "same":
        return sign(variable.shown_unit)
    return {"Ohm": "Ω", "lx": "lx"}.get(parameter_unit, parameter_unit)


def in_words(variable: Variable, kind: str, kept: Parameters) -> str:
    """A calibration as a line to read: 'tips of a rain gauge: millimetres per tip 0.2 mm'."""
    shown = shown_parameters(variable, kind, kept)
    said = []
    for parameter in KINDS[kind].parameters:
        value = shown.get(parameter.name)
        if parameter.form == "word" and value is not None:
            said.append(f"{parameter.label}: {WORDS.get(value, value)}")
        elif value is not None:
            figure = f"{_plain(value)} {unit_of(parameter.unit, variable)}".strip()
            said.append(f"{parameter.label} {figure.replace('-', MINUS)}")
    return f"{KINDS[kind].words}: {'; '.join(said)}"


def _line(variable: Variable) -> tuple[float, float]:
    """Factor and offset of kept = factor * shown + offset."""
    zero, one = convert([0.0, 1.0], variable.shown_unit, variable.unit)
    return float(one - zero), float(zero)


def _gain_offset(parameters: Parameters, factor: float, offset: float) -> dict[str, Any]:
    gain = parameters.get("gain", 1.0)
    return {"gain": gain, "offset": _tidy(factor * parameters["offset"] + offset * (1 - gain))}


def _polynomial(parameters: Parameters, factor: float, offset: float) -> dict[str, Any]:
    back = Polynomial([-offset / factor, 1 / factor])
    turned = Polynomial(parameters["coefficients"])(back) * factor + offset
    return {"coefficients": [float(f"{figure:.12g}") for figure in turned.coef]}


def _table(parameters: Parameters, factor: float, offset: float) -> dict[str, Any]:
    points = [[_tidy(factor * figure + offset) for figure in pair] for pair in parameters["points"]]
    return {"points": points}


def _as_they_are(parameters: Parameters, factor: float, offset: float) -> dict[str, Any]:
    return dict(parameters)


_TURNED: dict[str, Callable[[Parameters, float, float], dict[str, Any]]] = {
    "gain_offset": _gain_offset,
    "polynomial": _polynomial,
    "table": _table,
}


def _tidy(value: Any) -> float:
    """Without the last digits that only the conversion put there."""
    return float(np.round(float(value), 9))


def _plain(value: Any) -> str:
    if isinstance(value, list):
        return "; ".join(_plain(each) if isinstance(each, list) else f"{each:g}" for each in value)
    return f"{value:g}" if isinstance(value, int | float) else str(value)
