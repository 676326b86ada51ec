"""How far a calibration may take a variable from what its sensor says before somebody has mistyped a figure.

The shares are chosen, not taken from a book: wide enough for any sensor worth keeping, and a figure with a digit
too many mostly lies beyond them.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np

from network.science import calibration
from network.science.calibration import WrongCalibration
from network.science.units import sign
from network.science.variables import Variable
from stations import figures

GAIN = 0.05, 20.0
"""[1] Between these readings may be multiplied: a battery's divider reaches 11, a wrong unit of speed 3.6."""

OFFSET, CURVE = 0.25, 0.5
"""Of what the variable spans on Earth: how much may be added, and how far a curve may lead away."""


def refuse_absurd(variable: Variable, kind: str, parameters: Mapping[str, Any]) -> None:
    """Raise WrongCalibration, with a sentence that names the figure, where a curve leads too far away."""
    if kind == "gain_offset":
        _multiplied(variable, figures.shown_parameters(variable, kind, parameters))
    elif kind in ("polynomial", "table"):
        _bent(variable, kind, parameters)


def _multiplied(variable: Variable, shown: Mapping[str, Any]) -> None:
    low, high = GAIN
    gain, offset = float(shown.get("gain", 1.0)), float(shown["offset"])
    if not low <= gain <= high:
        raise WrongCalibration(
            f"'gain' is between {low:g} and {high:g}: if readings are further out, the sensor is broken "
            "or sends another unit."
        )
    most = _span(variable) * (1.0 if variable.summary == "direction" else OFFSET)
    if abs(offset) > most:
        raise WrongCalibration(
            f"'offset' is {_told(variable, most)} at most either way for {variable.words}: if readings "
            "are further out, the sensor is broken or sends another unit."
        )


def _bent(variable: Variable, kind: str, parameters: Mapping[str, Any]) -> None:
    """A table is looked at in its points, a polynomial over the middle half of what can be."""
    limits = variable.limits
    quarter = (limits.high - limits.low) / 4
    before = np.linspace(limits.low + quarter, limits.high - quarter, 5)
    if kind == "table":
        before = np.array(parameters["points"], dtype=np.float64)[:, 0]
    after = calibration.apply(kind, parameters, before, np.zeros(before.size))
    most = _span(variable) * (1.0 if variable.summary == "direction" else CURVE)
    apart = figures.shown_difference(variable, float(np.nanmax(np.abs(after - before))))
    if apart > most:
        name = "points" if kind == "table" else "coefficients"
        raise WrongCalibration(
            f"These '{name}' would change {variable.words} by more than {_told(variable, most)}. Is a figure mistyped, "
            "or does the sensor send another unit?"
        )


def _span(variable: Variable) -> float:
    """What the variable spans on Earth, in the unit it is shown in."""
    return figures.shown_difference(variable, variable.limits.high - variable.limits.low)


def _told(variable: Variable, shown: float) -> str:
    return f"{shown:.3g} {sign(variable.shown_unit)}".rstrip()
