"""A battery that no longer lasts the night. It can be seen from the voltage, in any weather that has nights."""

import numpy as np

from tests.faults.kind import Kind
from tests.faults.said import MEASURED, Bools, Said, rounded

EMPTY = 3.1
"""[V] Under which a lithium cell gives its sensors too little (common practice)."""


def sags_at_night(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """The voltage falls from sunset on, deeper with each hour, and comes back with the light."""
    day, held = said.truth["sun_elevation"] > 0.0, np.arange(where.size)
    since_sunset = (held - np.maximum.accumulate(np.where(day, held, 0))) / 12.0  # [h]
    fallen = np.minimum(random.uniform(0.22, 0.35) * since_sunset, 1.4)
    return said.saying(
        where, battery_voltage=rounded("battery_voltage", said.values["battery_voltage"] - fallen)
    )


def while_empty(honest: Said, said: Said, where: Bools, variable: str) -> Bools:
    """Every reading of the station that was taken with too little voltage."""
    return where & (said.values["battery_voltage"] < EMPTY) & np.isfinite(said.values[variable])


def nights(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether it was empty for two hours in all."""
    return int(affected.sum()) >= 24


KINDS = (
    Kind(
        name="supply sagging at night",
        variables=tuple(name for name in MEASURED if name != "battery_voltage"),
        lasting=(2.0, 4.0),
        inject=sags_at_night,
        right=frozenset({"supply"}),
        affects=while_empty,
        visible=nights,
    ),
)
