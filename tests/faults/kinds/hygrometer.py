"""What goes wrong with a hygrometer. Pinned at 100 % can be seen where the air is below 90 % for half a day."""

import numpy as np

from tests.faults.kind import Kind
from tests.faults.kinds.thermometer import REST, SLOW, stuck_kind
from tests.faults.said import Bools, Said


def pinned(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """Water in the sensor: saturated for days."""
    return said.saying(where, relative_humidity=100.0)


def dry_enough(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether the air was not saturated itself."""
    return int((affected & (honest.truth["relative_humidity"] < 0.9)).sum()) >= 144


KINDS = (
    stuck_kind("relative_humidity", "humidity", (10 / 24, 1.0)),
    Kind(
        name="pinned at 100 %",
        variables=("relative_humidity",),
        lasting=(2.0, 4.0),
        inject=pinned,
        right=REST | {"saturated", "range_end"},
        also=SLOW | {"variance_collapsed", "spike", "climate"},
        gross=True,
        visible=dry_enough,
    ),
)
