"""Curves: a sensor that sends the right quantity, but not quite the right value of it."""

from itertools import pairwise

import numpy as np

from network.science.calibration.kind import Kind, Parameter, Parameters, Seconds, Values


def _gain_offset(parameters: Parameters, values: Values, seconds: Seconds) -> Values:
    return np.asarray(values * parameters["gain"] + parameters["offset"])


def _polynomial(parameters: Parameters, values: Values, seconds: Seconds) -> Values:
    return np.asarray(np.polynomial.polynomial.polyval(values, parameters["coefficients"]))


def _never_changes(parameters: Parameters) -> str:
    if any(parameters["coefficients"][1:]):
        return ""
    return "With no coefficient beyond the first every reading would be the same: give at least two."


def _table(parameters: Parameters, values: Values, seconds: Seconds) -> Values:
    before, after = np.array(parameters["points"], dtype=np.float64).T
    calibrated: Values = np.interp(values, before, after, left=np.nan, right=np.nan)
    return calibrated


def _no_table(parameters: Parameters) -> str:
    before = [point[0] for point in parameters["points"]]
    if len(before) >= 2 and all(low < high for low, high in pairwise(before)):
        return ""
    return "A table needs two points or more, and what the sensor reads must rise from each to the next."


KINDS = (
    Kind(
        name="gain_offset",
        words="multiply and add",
        input="same",
        parameters=(
            Parameter("gain", "", "What to multiply readings by; 1 leaves them.", default=1.0, above=0.0),
            Parameter("offset", "same", "What to add after that; -0.4 K for a thermometer that reads high."),
        ),
        arithmetic=_gain_offset,
    ),
    Kind(
        name="polynomial",
        words="a polynomial",
        input="same",
        parameters=(
            Parameter("coefficients", "", "The constant first, then of x, of x², and so on.", form="numbers"),
        ),
        arithmetic=_polynomial,
        objection=_never_changes,
    ),
    Kind(
        name="table",
        words="a table of points",
        input="same",
        parameters=(
            Parameter(
                "points",
                "same",
                "Pairs of what the sensor reads and what is true; straight lines between, nothing outside.",
                form="pairs",
            ),
        ),
        arithmetic=_table,
        objection=_no_table,
    ),
)
