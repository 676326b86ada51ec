"""A station that its keeper carried elsewhere without saying so. Seen where the two places differ by 40 m in height."""

from dataclasses import replace

import numpy as np

from tests.faults.kind import EVERYTHING, Kind, all_within
from tests.faults.kinds.thermometer import SLOW
from tests.faults.said import Bools, Said


def moved(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """It says what its instruments find in another garden."""
    values = {name: np.where(where, said.elsewhere[name], said.values[name]) for name in said.values}
    return replace(said, values=values)


def uphill_or_down(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether the barometer can tell the two places apart: 40 m are some 5 hPa."""
    off = np.abs(said.values["station_pressure"] - honest.values["station_pressure"])[affected]
    return bool(np.median(off) > 4.7)


KINDS = (
    Kind(
        name="moved without telling",
        variables=("station_pressure", *(name for name in EVERYTHING if name != "station_pressure")),
        lasting=(5.0, 7.0),
        inject=moved,
        right=frozenset({"moved"}),
        also=SLOW | {"pressure_for_elevation", "wind_by_direction", "catch"},
        affects=all_within,
        visible=uphill_or_down,
    ),
)
