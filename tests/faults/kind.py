"""The shape of a fault: what it does to what a board says, where it can be seen, and which reasons are right."""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from tests.faults.said import ACCURACY, MEASURED, Bools, Said

Inject = Callable[[Said, Bools, np.random.Generator], Said]

DERIVED = {
    "air_temperature": ("dew_point", "sea_level_pressure"),
    "relative_humidity": ("dew_point",),
    "station_pressure": ("sea_level_pressure",),
}
"""What is derived from a variable, and spoilt with it."""


def altered(honest: Said, said: Said, where: Bools, variable: str) -> Bools:
    """Readings that the fault carries further from the honest ones than the instrument's standard error, (t,)."""
    return where & (np.abs(said.values[variable] - honest.values[variable]) > ACCURACY[variable])


def all_within(honest: Said, said: Said, where: Bools, variable: str) -> Bools:
    """Every reading of the span, for faults of which each reading is a part."""
    return where & np.isfinite(said.values[variable])


def somewhere(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether there is anything to see: one affected reading."""
    return bool(affected.any())


@dataclass(frozen=True)
class Kind:
    """One kind of fault."""

    name: str
    variables: tuple[str, ...]
    """Those it affects, the one it is seen in first."""
    lasting: tuple[float, float]
    """[days] The shortest and the longest."""
    inject: Inject
    right: frozenset[str]
    """Names of the checks that give the right reason."""
    also: frozenset[str] = frozenset()
    """Names of other checks that may speak of it: that it is found, if for another reason."""
    gross: bool = False
    affects: Callable[[Said, Said, Bools, str], Bools] = altered
    """From honest and faulty, the span (t,) and a variable: the affected readings (t,)."""
    visible: Callable[[Said, Said, Bools], bool] = somewhere
    """From honest and faulty and the affected readings (t,): whether the weather lets it be seen at all."""
    season: str = "1234"
    """The quarters of the year in which it can happen: 1 winter, 2 spring, 3 summer, 4 autumn."""
    by: Callable[[Said, Said, Bools], int] | None = None
    """From honest and faulty and the affected readings (t,): the report by which it is to be found; None: at any time."""
    throughout: bool = False
    """Whether the sensor is no good all the while, also where its numbers happen to be right: a blocked gauge."""
    harmless: bool = False
    """Whether it must change nothing."""

    @property
    def touches(self) -> frozenset[str]:
        """All variables that may be marked because of it, also the derived ones."""
        named = set(self.variables)
        for name in self.variables:
            named.update(DERIVED.get(name, ()))
        return frozenset(named)


@dataclass
class Event:
    """One fault at one station: the label."""

    kind: str
    variables: tuple[str, ...]
    station: int
    first: int
    """Index of the first report of its span."""
    last: int
    """Index after the last."""
    seed: int
    affected: dict[str, Bools] = field(default_factory=dict)
    """By variable, the affected readings (t,)."""

    def span(self, honest: Said) -> Bools:
        """The reports within it, shape (t,)."""
        where = np.zeros(honest.seconds.shape, dtype=bool)
        where[self.first : self.last] = True
        return where


EVERYTHING = tuple(MEASURED)
