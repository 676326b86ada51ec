"""Which faults befall which stations of a world, and when: where they can be seen, and disturb one another not.

A station has one fault at a time, and of each variable at most two stations of ten are spoilt at a time. Two faults
of one station that may spoil the same variable lie so far apart that their cases stay apart.
"""

from collections.abc import Mapping

import numpy as np

from tests.faults.kind import Event, Kind
from tests.faults.kinds import KINDS
from tests.faults.said import Said
from tests.faults.world import World

APART = 3.6
"""[days] Between two faults of the same variable: the hub joins evidence less than three days apart."""

CLEAR = 0.5
"""[days] Between two faults of different variables at one station."""

AT_ONCE = 2
"""Stations of ten that are faulty in the same variable; of four or three, one."""

QUIET, LONG_QUIET = 2, 5
"""[days] In which nothing is wrong at first; before what lasts for days, the longer."""

TRIES = 150
"""Stations and times drawn before a kind is given up in this world."""

MOST = 3
"""Of a kind in one world, so that each is spread over weathers; of what is over within hours, three times that."""


def plan(world: World, wanted: Mapping[str, int]) -> list[Event]:
    """Events of the wanted kinds, for each at most so many, those first that are hardest to place."""
    random = np.random.default_rng([world.seed, 13])
    events: list[Event] = []
    left = {name: min(number, most(KINDS[name])) for name, number in wanted.items()}
    left = {name: number for name, number in left.items() if str(world.quarter) in KINDS[name].season}
    while left:
        for name in sorted(left, key=lambda name: _ease(KINDS[name], wanted[name])):
            for _ in range(left[name] if len(KINDS[name].season) < 4 else 1):
                event = _placed(world, KINDS[name], events, random)
                if event is None:
                    left[name] = 0
                    break
                events.append(event)
                left[name] -= 1
        left = {name: number for name, number in left.items() if number}
    return events


def most(kind: Kind) -> int:
    """How many of a kind one world may hold."""
    return MOST if kind.lasting[1] > 1.0 else 3 * MOST


def faulty(world: World, events: list[Event], station: int) -> Said:
    """What a station says with all its events."""
    said = world.honest[station]
    for event in events:
        if event.station == station:
            said = injected(said, event)
    return said


def injected(said: Said, event: Event) -> Said:
    """What it says with this event."""
    return KINDS[event.kind].inject(said, event.span(said), np.random.default_rng(event.seed))


def _ease(kind: Kind, wanted: int) -> tuple[float, str]:
    """How easily a kind is placed: little of it wanted, in any season, soon over."""
    return -wanted * kind.lasting[1] / len(kind.season) ** 2, kind.name


def _placed(world: World, kind: Kind, events: list[Event], random: np.random.Generator) -> Event | None:
    """A place and a time for one event, labelled; None where none was found."""
    for _ in range(TRIES):
        station = int(random.integers(len(world.places)))
        length = max(round(random.uniform(*kind.lasting) * world.a_day), 1)
        earliest = (QUIET if kind.lasting[1] < 4 else LONG_QUIET) * world.a_day
        latest = len(world.seconds) - world.a_day // 2 - length
        if earliest >= latest:
            return None
        first = int(random.integers(earliest, latest))
        event = Event(kind.name, kind.variables, station, first, first + length, int(random.integers(2**32)))
        if _free(world, event, events) and labelled(world.honest[station], event):
            return event
    return None


def _free(world: World, event: Event, events: list[Event]) -> bool:
    """Whether it disturbs no other and no other disturbs it."""
    at_once, touches = AT_ONCE if len(world.places) > 5 else 1, KINDS[event.kind].touches
    stations = set()
    for other in events:
        alike = bool(KINDS[other.kind].touches & touches)
        apart = (APART if alike else CLEAR) * world.a_day
        if other.station == event.station and _near(event, other, apart):
            return False
        if alike and _near(event, other, 0.0):
            stations.add(other.station)
    return len(stations) < at_once


def _near(event: Event, other: Event, apart: float) -> bool:
    return other.first < event.last + apart and event.first < other.last + apart


def labelled(honest: Said, event: Event) -> bool:
    """Note which readings are affected; False where the weather does not let the fault be seen."""
    kind, said, where = KINDS[event.kind], injected(honest, event), event.span(honest)
    event.affected = {name: kind.affects(honest, said, where, name) for name in kind.variables}
    together = np.any(list(event.affected.values()), axis=0)
    return bool(together.any()) and kind.visible(honest, said, together)
