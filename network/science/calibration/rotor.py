"""A turning rotor: pulses to wind speed.

The line v = A f + B holds while the rotor turns. Its offset B lies near the starting threshold, so reporting
B when nothing turns is a well-known mistake: a still rotor is a calm.
Source: Pindado et al. (2013), The Scientific World Journal, article 197325, for the line and its slopes.
"""

import numpy as np

from network.science.calibration.kind import Input, Kind, Parameter, Parameters, Seconds, Values


def _speed(parameters: Parameters, values: Values, seconds: Seconds) -> Values:
    frequency = np.where(values >= 0, values / (parameters["period"] or 1), np.nan)
    speed = parameters["metres_per_pulse"] * frequency + parameters["offset"]
    still = (frequency == 0) | (speed < parameters["threshold"]) | (speed < 0)
    return np.where(still, 0.0, speed)


def _input(parameters: Parameters) -> Input:
    return "1/s" if parameters["period"] is None else "count"


KIND = Kind(
    name="rotor",
    words="pulses of a wind rotor",
    input="1/s",
    parameters=(
        Parameter("metres_per_pulse", "m", "How far the wind goes by during one pulse.", above=0, most=100),
        Parameter(
            "offset", "m/s", "Where the calibration line meets zero pulses.", default=0.0, least=-5, most=5
        ),
        Parameter(
            "threshold", "m/s", "Slowest wind that turns it, often 0.3 to 1.", default=0.0, least=0, most=5
        ),
        Parameter(
            "period",
            "s",
            "Length of the period whose pulses the board sends; leave it out for pulses a second.",
            optional=True,
            above=0,
            most=86400,
        ),
    ),
    arithmetic=_speed,
    input_given=_input,
)
