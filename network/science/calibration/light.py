"""Light sensors: a relative level from 0 (dark) to 1 (bright), which never stands for irradiance.

A resistor that senses light, and the eye, answer to ratios: their levels are even steps of the logarithm.
"""

import numpy as np

from network.science.calibration.board import between
from network.science.calibration.divider import full_scale
from network.science.calibration.kind import Kind, Parameter, Parameters, Seconds, Values


def _from_count(parameters: Parameters, values: Values, seconds: Seconds) -> Values:
    return between(values, parameters["dark"], parameters["bright"])


def _from_resistor(parameters: Parameters, values: Values, seconds: Seconds) -> Values:
    highest = full_scale(parameters["bits"])
    share = np.where((values >= 0) & (values <= highest), values, np.nan) / highest
    across_sensor = share if parameters["sensor"] == "lower" else 1 - share
    with np.errstate(divide="ignore"):  # at the converter's ends it is endlessly dark or bright
        ratio = np.log(across_sensor) - np.log(1 - across_sensor)
    dark, bright = (
        np.log(parameters[name] / parameters["fixed_resistance"])
        for name in ("dark_resistance", "bright_resistance")
    )
    return between(ratio, dark, bright)


def _from_lux(parameters: Parameters, values: Values, seconds: Seconds) -> Values:
    floor = np.where(values >= 0, np.maximum(values, parameters["dark"]), np.nan)
    return between(np.log(floor), np.log(parameters["dark"]), np.log(parameters["bright"]))


def _no_span(parameters: Parameters) -> str:
    return "" if parameters["dark"] != parameters["bright"] else "'dark' and 'bright' must differ."


def _lux_upside_down(parameters: Parameters) -> str:
    return "" if parameters["dark"] < parameters["bright"] else "'bright' must be above 'dark'."


def _resistor_upside_down(parameters: Parameters) -> str:
    if parameters["dark_resistance"] > parameters["bright_resistance"]:
        return ""
    return "A light-dependent resistor resists more in the dark: 'dark_resistance' must be the larger."


_COUNTS = Kind(
    name="light",
    words="a light sensor's count",
    input="count",
    parameters=(
        Parameter("dark", "count", "What it reads at night."),
        Parameter("bright", "count", "What it reads in full sun."),
    ),
    arithmetic=_from_count,
    objection=_no_span,
)

_RESISTOR = Kind(
    name="light_resistor",
    words="a light-dependent resistor",
    input="count",
    parameters=(
        Parameter("bits", "", "Bits of the converter: 10 counts to 1023.", least=1, most=24),
        Parameter(
            "fixed_resistance", "Ohm", "The other resistor of the pair, such as 10000.", above=0, most=1e9
        ),
        Parameter("dark_resistance", "Ohm", "The sensor's at night, such as 1000000.", above=0, most=1e9),
        Parameter("bright_resistance", "Ohm", "The sensor's in full sun, such as 100.", above=0, most=1e9),
        Parameter(
            "sensor",
            "",
            "Where it lies in the divider.",
            form="word",
            default="upper",
            choices=("upper", "lower"),
            words="where the sensor lies",
        ),
    ),
    arithmetic=_from_resistor,
    objection=_resistor_upside_down,
)

_LUX = Kind(
    name="light_lux",
    words="a light sensor in lux",
    input="lx",
    parameters=(
        Parameter("dark", "lx", "What counts as dark; 1 lx is deep dusk.", default=1.0, above=0),
        Parameter("bright", "lx", "What counts as full sun; about 100000 lx.", default=100000.0, above=0),
    ),
    arithmetic=_from_lux,
    objection=_lux_upside_down,
)

KINDS = (_COUNTS, _RESISTOR, _LUX)
