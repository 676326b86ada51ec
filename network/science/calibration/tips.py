"""A tipping bucket: counted tips to millimetres of rain."""

import numpy as np

from network.science import rain
from network.science.calibration.kind import Kind, Parameter, Parameters, Seconds, Values


def _amount(parameters: Parameters, values: Values, seconds: Seconds) -> Values:
    tips = np.where(values >= 0, values, np.nan)
    if parameters["counts"] == "total":
        in_time = np.argsort(seconds, kind="stable")
        tips[in_time] = rain.increments(tips[in_time], parameters["modulus"])
    return np.asarray(tips * parameters["millimetres_per_tip"])


KIND = Kind(
    name="tips",
    words="tips of a rain gauge",
    input="count",
    parameters=(
        Parameter(
            "millimetres_per_tip", "mm", "Ten times the bucket's mL over the funnel's cm².", above=0, most=5
        ),
        Parameter(
            "counts",
            "",
            "Whether each report counts from zero, or the count runs on.",
            form="word",
            default="period",
            choices=("period", "total"),
            words="how it counts",
        ),
        Parameter(
            "modulus",
            "",
            "The count at which a running total begins again at zero, such as 65536.",
            optional=True,
            above=1,
            most=2**64,
            words="the counter begins again at",
        ),
    ),
    arithmetic=_amount,
)
