"""Numbers in another unit than the channel is registered with, from one moment on, for a day or three.

Wind can be seen where it blows: a mean above 2 m/s over the span, and a sixth of it above 3 m/s. Inches of rain
can be seen where at least 6 mm fall. Degrees Fahrenheit and inches of mercury can always be seen.
"""

import numpy as np

from network.science.units import convert
from tests.faults.kind import Inject, Kind
from tests.faults.said import SPOKEN, Bools, Said

ALSO = frozenset(
    {"physical", "climate", "range_end", "step", "spike", "noise", "departure", "break_point", "offset", "catch",
     "rain_missed", "rain_alone", "stuck", "still_alone", "rotor", "rotor_start", "variance_collapsed"}
)  # fmt: skip
"""Numbers in a foreign unit may also be impossible, jump, or fit nothing."""


def sent_in(unit: str, decimals: int, *variables: str) -> Inject:
    """The board sends another unit, with so many decimals."""

    def inject(said: Said, where: Bools, random: np.random.Generator) -> Said:
        values = {
            name: convert(said.values[name], SPOKEN[name][1], unit).round(decimals) for name in variables
        }
        return said.saying(where, **values)

    return inject


def windy(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether there was wind enough to tell a unit by."""
    speed = honest.truth["wind_speed"][affected]
    return speed.size >= 144 and bool(speed.mean() > 2.0 and np.quantile(speed, 5 / 6) > 3.0)


def wet(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether it rained enough to tell a unit by."""
    return float(honest.values["rain_amount"][affected].sum()) >= 6.0


def _kind(
    words: str, inject: Inject, variables: tuple[str, ...], lasting: tuple[float, float], **more
) -> Kind:
    right = frozenset({"unit_hypothesis"})
    return Kind(f"unit {words}", variables, lasting, inject, right, ALSO, gross=True, **more)


KINDS = (
    _kind("°F", sent_in("[degF]", 1, "air_temperature"), ("air_temperature",), (1.0, 3.0)),
    _kind("inHg", sent_in("[in_i'Hg]", 2, "station_pressure"), ("station_pressure",), (1.0, 3.0)),
    *(
        _kind(words, sent_in(unit, 1, "wind_speed", "wind_gust"), ("wind_speed", "wind_gust"), (1.5, 3.0), visible=windy, throughout=True)
        for words, unit in {"mph": "[mi_i]/h", "km/h": "km/h", "knots": "[kn_i]"}.items()
    ),
    _kind("inches", sent_in("[in_i]", 4, "rain_amount"), ("rain_amount",), (2.0, 4.0), visible=wet, throughout=True),
)  # fmt: skip
