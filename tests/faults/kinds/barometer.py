"""What goes wrong with a barometer: each can be seen in any weather."""

import numpy as np

from tests.faults.kind import Kind, all_within
from tests.faults.kinds.readings import SHORT
from tests.faults.kinds.thermometer import SLOW, offset_kind, stuck_kind
from tests.faults.said import Bools, Said, in_unit_sent, rounded


def at_sea_level(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """The board reduces it to sea level itself."""
    reduced = in_unit_sent("station_pressure", said.truth["sea_level_pressure"])
    return said.saying(where, station_pressure=rounded("station_pressure", reduced))


KINDS = (
    offset_kind("station_pressure", "2 hPa", 2.0),
    stuck_kind("station_pressure", "pressure", (10 / 24, 1.0)),
    Kind(
        name="sea-level pressure as station pressure",
        variables=("station_pressure",),
        lasting=(1.0, 3.0),
        inject=at_sea_level,
        right=frozenset({"pressure_for_elevation", "unit_hypothesis"}),
        also=SHORT | SLOW,
        gross=True,
        affects=all_within,
    ),
)
