"""A wet/dry surface board: its count to the share of it that is wet."""

import numpy as np

from network.science.calibration.kind import Kind, Parameter, Parameters, Seconds, Values


def between(values: Values, zero: float, one: float) -> Values:
    """Where values lie on the way from one count to another, 0 to 1."""
    return np.asarray(np.clip((values - zero) / (one - zero), 0.0, 1.0))


def _wetness(parameters: Parameters, values: Values, seconds: Seconds) -> Values:
    return between(values, parameters["dry"], parameters["wet"])


def _no_span(parameters: Parameters) -> str:
    return (
        "A board that reads the same dry and wet tells nothing."
        if parameters["dry"] == parameters["wet"]
        else ""
    )


KIND = Kind(
    name="wet_board",
    words="a wet/dry board",
    input="count",
    parameters=(
        Parameter("dry", "count", "What it reads wiped dry."),
        Parameter("wet", "count", "What it reads under a film of water."),
    ),
    arithmetic=_wetness,
    objection=_no_span,
)
