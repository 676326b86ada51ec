"""A voltage divider: the count of an analogue-to-digital converter, back to the voltage of the battery."""

import numpy as np

from network.science.calibration.kind import Input, Kind, Parameter, Parameters, Seconds, Values


def full_scale(bits: int) -> int:
    """Highest count of a converter."""
    return (1 << int(bits)) - 1


def _battery(parameters: Parameters, values: Values, seconds: Seconds) -> Values:
    upper, lower = parameters["upper_resistance"], parameters["lower_resistance"]
    at_pin = values
    if parameters["bits"] is not None:
        highest = full_scale(parameters["bits"])
        possible = np.where((values >= 0) & (values <= highest), values, np.nan)
        at_pin = possible * parameters["reference_voltage"] / highest
    return np.asarray(at_pin * (upper + lower) / lower)


def _half_told(parameters: Parameters) -> str:
    if parameters["bits"] is None or parameters["reference_voltage"] is not None:
        return ""
    return "A count needs reference_voltage: the voltage at which the converter reads its highest count."


def _input(parameters: Parameters) -> Input:
    return "V" if parameters["bits"] is None else "count"


KIND = Kind(
    name="divider",
    words="a battery behind a divider",
    input="count",
    parameters=(
        Parameter(
            "bits",
            "",
            "Bits of the converter: 10 counts to 1023. Leave it out if the board sends volts at its pin.",
            optional=True,
            least=1,
            most=24,
        ),
        Parameter(
            "reference_voltage",
            "V",
            "Voltage of the highest count, often 3.3 V.",
            optional=True,
            above=0,
            most=60,
        ),
        Parameter(
            "upper_resistance", "Ohm", "Resistor between battery and pin, such as 100000.", above=0, most=1e9
        ),
        Parameter(
            "lower_resistance", "Ohm", "Resistor between pin and ground, such as 27000.", above=0, most=1e9
        ),
    ),
    arithmetic=_battery,
    objection=_half_told,
    input_given=_input,
)
