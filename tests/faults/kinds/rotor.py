"""What goes wrong with cups and vane.

A rotor that stands can be seen on a windy day: six hours above 3 m/s. One that starts slowly can be seen in light
winds: 150 readings spoilt. A shelter can be seen while the wind comes from behind it: 100 readings above 2 m/s.
"""

import numpy as np

from tests.faults.kind import Kind
from tests.faults.kinds.thermometer import REST
from tests.faults.said import Bools, Said, rounded

CUPS = ("wind_speed", "wind_gust")


def stands(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """Ice, a spider or a worn bearing: the cups do not turn."""
    return said.saying(where, wind_speed=0.0, wind_gust=0.0)


def starts_slowly(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """A dry bearing: the cups turn only above some 2 m/s, and too slowly just above it."""
    least = random.uniform(1.8, 2.4)
    slowed = {
        name: rounded(name, np.sqrt(np.maximum(said.values[name] ** 2 - least**2, 0.0))) for name in CUPS
    }
    return said.saying(where, **slowed)


def sheltered(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """A new shed takes two thirds of the wind from a quarter of the compass."""
    windy = where & (said.truth["wind_speed"] > 2.0)
    came = said.truth["wind_from_direction"][windy]
    side = random.choice(came[np.isfinite(came)]) if np.isfinite(came).any() else random.uniform(0, 360)
    off = np.abs((said.truth["wind_from_direction"] - side + 180.0) % 360.0 - 180.0)
    behind = where & (off < 45.0)
    return said.saying(behind, **{name: rounded(name, said.values[name] / 3.0) for name in CUPS})


def windy_day(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether it blew for six hours."""
    return int((affected & (honest.truth["wind_speed"] > 3.0)).sum()) >= 72


def windy_day_over(honest: Said, said: Said, affected: Bools) -> int:
    """The report a day after it began to blow, or when it has blown for six hours, if that is later."""
    windy = np.flatnonzero(affected & (honest.truth["wind_speed"] > 3.0))
    return min(max(int(windy[71]), int(windy[0]) + 288), len(affected) - 1)


def light_winds(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether winds were light but not calm."""
    return int(affected.sum()) >= 150


def from_that_side(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether the wind came from behind the shed often enough."""
    return int((affected & (honest.truth["wind_speed"] > 2.0)).sum()) >= 100


WIND = (
    frozenset({"departure", "rotor", "rotor_start", "wind_by_direction", "break_point", "unit_hypothesis"})
    | REST
)

KINDS = (
    Kind("rotor stuck", CUPS, (1.0, 3.0), stands, REST | {"rotor"}, WIND | {"gust_below_mean"}, visible=windy_day, by=windy_day_over,
         throughout=True),
    Kind("rotor slow to start", CUPS, (8.0, 10.0), starts_slowly, frozenset({"rotor_start"}), WIND,
         visible=light_winds),
    Kind("rotor sheltered by direction", CUPS, (10.0, 12.0), sheltered, frozenset({"wind_by_direction"}), WIND,
         visible=from_that_side),
)  # fmt: skip
