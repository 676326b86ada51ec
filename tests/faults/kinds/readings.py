"""Single readings and hours that are spoilt on the way: spikes, jumps, decimal points, impossible values, swapped plugs.

Spikes and jumps can be seen in any weather. A decimal point can be seen where it moves the value by more than
5 K or 20 %, so not at 0 °C. Swapped plugs can be seen where the two numbers differ by 8 or more.
"""

from functools import partial

import numpy as np

from network.science.variables import VARIABLES
from tests.faults.kind import Inject, Kind, all_within
from tests.faults.said import Bools, Floats, Said, rounded

SHORT = frozenset(
    {"spike", "step", "departure", "climate", "physical", "range_end", "noise", "unit_hypothesis"}
)
ONCE = (1 / 288, 1 / 288)
HOUR = 1 / 24

STANDARD_ERROR = {"air_temperature": 0.4, "relative_humidity": 3.5, "station_pressure": 0.6}
"""In the unit sent; those of the catalogue."""


def shifted(variable: str, least: float, most: float) -> Inject:
    """Adds one amount of either sign, ``least`` .. ``most`` in the unit sent."""

    def inject(said: Said, where: Bools, random: np.random.Generator) -> Said:
        size = random.uniform(least, most) * random.choice([-1.0, 1.0])
        values = said.values[variable]
        if variable == "relative_humidity" and not 1 < np.nanmean(values[where]) + size < 99:
            size = -size
        return said.saying(where, **{variable: rounded(variable, values + size)})

    return inject


def decimal_point(variable: str, factor: float) -> Inject:
    """The point slips by a place."""

    def inject(said: Said, where: Bools, random: np.random.Generator) -> Said:
        return said.saying(where, **{variable: said.values[variable] * factor})

    return inject


def impossible(variable: str, values: tuple[float, ...]) -> Inject:
    """What a broken wire or an empty register reads."""

    def inject(said: Said, where: Bools, random: np.random.Generator) -> Said:
        return said.saying(where, **{variable: random.choice(values)})

    return inject


def swapped(one: str, other: str, said: Said, where: Bools, random: np.random.Generator) -> Said:
    """Each channel says the other's numbers."""
    return said.saying(where, **{one: said.values[other], other: said.values[one]})


def far(least: float, variable: str, honest: Said, said: Said, affected: Bools) -> bool:
    """Whether most affected readings are off by at least so much."""
    off: Floats = np.abs(said.values[variable] - honest.values[variable])[affected]
    return len(off) > 0 and bool(np.median(off) >= least)


def _spikes() -> list[Kind]:
    return [
        Kind(
            name=f"spike in {VARIABLES[name].short}",
            variables=(name,),
            lasting=ONCE,
            inject=shifted(name, 6 * error, 20 * error),
            right=frozenset({"spike"}),
            also=SHORT,
            gross=True,
            affects=all_within,
        )
        for name, error in STANDARD_ERROR.items()
    ]


KINDS = (
    *_spikes(),
    Kind(
        name="jump in temperature",
        variables=("air_temperature",),
        lasting=(3 * HOUR, 12 * HOUR),
        inject=shifted("air_temperature", 4.0, 8.0),
        right=frozenset({"step", "departure"}),
        also=SHORT | {"break_point", "offset"},
        affects=all_within,
    ),
    Kind(
        name="jump in pressure",
        variables=("station_pressure",),
        lasting=(3 * HOUR, 12 * HOUR),
        inject=shifted("station_pressure", 5.0, 12.0),
        right=frozenset({"step", "departure"}),
        also=SHORT | {"break_point", "offset"},
        affects=all_within,
    ),
    Kind(
        name="decimal point",
        variables=("air_temperature",),
        lasting=(1 / 288, 3 * HOUR),
        inject=decimal_point("air_temperature", 10.0),
        right=SHORT,
        gross=True,
        affects=all_within,
        visible=partial(far, 5.0, "air_temperature"),
    ),
    Kind(
        name="decimal point in pressure",
        variables=("station_pressure",),
        lasting=(1 / 288, 3 * HOUR),
        inject=decimal_point("station_pressure", 0.1),
        right=SHORT,
        gross=True,
        affects=all_within,
    ),
    *(
        Kind(
            name=f"impossible {VARIABLES[name].short}",
            variables=(name,),
            lasting=(1 / 288, 3 / 288),
            inject=impossible(name, values),
            right=frozenset({"physical", "range_end", "climate", "humidity_above_100"}),
            also=SHORT,
            gross=True,
            affects=all_within,
        )
        for name, values in {
            "air_temperature": (-127.0, 327.6, 999.9),
            "relative_humidity": (-9.0, 140.0, 255.0),
            "station_pressure": (0.0, 6553.5),
            "wind_speed": (-1.0, 255.0),
        }.items()
    ),
    Kind(
        name="swapped temperature and humidity",
        variables=("air_temperature", "relative_humidity"),
        lasting=(0.5, 2.0),
        inject=partial(swapped, "air_temperature", "relative_humidity"),
        right=frozenset({"swapped"}),
        also=SHORT | {"stuck", "still_alone", "saturated", "humidity_above_100", "break_point"},
        gross=True,
        affects=all_within,
        visible=partial(far, 8.0, "air_temperature"),
    ),
    Kind(
        name="swapped speed and gust",
        variables=("wind_speed", "wind_gust"),
        lasting=(0.5, 2.0),
        inject=partial(swapped, "wind_speed", "wind_gust"),
        right=frozenset({"swapped", "gust_below_mean"}),
        also=SHORT | {"stuck", "still_alone"},
        gross=True,
        visible=partial(far, 0.8, "wind_gust"),
    ),
)
