"""A slice of the bench: gross faults in eight days of five stations, all of which must be found, and nothing else."""

from collections.abc import Iterator

import numpy as np
import pytest

from tests.faults import clean, hub
from tests.faults.judge import Outcome, outcome
from tests.faults.kind import Event
from tests.faults.kinds import KINDS
from tests.faults.plan import faulty, labelled
from tests.faults.said import SPOKEN, Said
from tests.faults.world import World, make
from tests.network.pipeline.replay import until_done

pytestmark = pytest.mark.django_db

SEED, QUARTER, DAYS, STATIONS = 100, 2, 8, 5
HOUR = 12
"""Reports in an hour."""

FAULTS = (
    ("spike in temperature", 0, 3.0, 1),
    ("impossible humidity", 0, 3.5, 2),
    ("unit inHg", 0, 4.0, 30 * HOUR),
    ("decimal point in pressure", 1, 3.0, 2 * HOUR),
    ("stuck temperature", 1, 3.3, 10 * HOUR),
    ("impossible wind", 1, 4.0, 1),
    ("unit °F", 1, 6.8, 24 * HOUR),
)
"""Kind, station, day and how many reports."""


@pytest.fixture(scope="module")
def world() -> World:
    return make(SEED, QUARTER, DAYS)


@pytest.fixture(scope="module")
def events(world) -> list[Event]:
    made = []
    for number, (kind, station, day, reports) in enumerate(FAULTS):
        first = int(day * world.a_day)
        event = Event(kind, KINDS[kind].variables, station, first, first + reports, number)
        assert labelled(world.honest[station], event), f"{kind} cannot be seen then: choose another day."
        made.append(event)
    return made


@pytest.fixture(scope="module")
def seen(world, events, django_db_setup, django_db_blocker) -> Iterator[list[hub.Seen]]:
    with until_done(django_db_blocker), pytest.MonkeyPatch.context() as patch:
        for stage in hub.SILENT:
            patch.setitem(hub.STAGES, stage, hub.nothing)
        village, stations = hub.register("Faults", world.places[:STATIONS])
        said = [faulty(world, events, i) for i in range(STATIONS)]
        yield hub.settled(village, stations, said, events)


@pytest.fixture(scope="module")
def outcomes(world, events, seen) -> dict[str, Outcome]:
    judged = {}
    for event in events:
        beside = [other for other in events if other.station == event.station]
        said = faulty(world, events, event.station)
        judged[event.kind] = outcome(event, beside, said, seen[event.station], STATIONS, SEED, timed=False)
    return judged


@pytest.mark.parametrize("kind", [kind for kind, *_ in FAULTS])
def test_every_gross_fault_is_found(outcomes, kind):
    assert KINDS[kind].gross and outcomes[kind].found


def test_nine_in_ten_of_their_readings_are_not_good(outcomes):
    assert all(one.not_good >= 0.9 * one.affected for one in outcomes.values())


def test_nine_in_ten_readings_doubted_near_them_are_theirs(outcomes):
    doubted = sum(one.doubted for one in outcomes.values())
    assert sum(one.doubted_rightly for one in outcomes.values()) >= 0.9 * doubted


def test_no_honest_neighbour_is_called_wrong_and_hardly_any_doubtful(seen):
    for variable, told in clean.tally(seen[2:]).items():
        assert told["wrong"] == 0, (variable, told)
        assert told["doubtful"] <= 0.003 * told["readings"], (variable, told)


def test_a_label_holds_the_readings_that_the_fault_changes_and_no_others(world):
    for kind in KINDS.values():
        event = Event(kind.name, kind.variables, 3, 1000, 1000 + 2 * world.a_day, 5)
        labelled(world.honest[3], event)
        span = event.span(world.honest[3])
        assert all(not (affected & ~span).any() for affected in event.affected.values()), kind.name


def test_a_fault_leaves_what_lies_outside_its_span_as_it_was(world):
    said = world.honest[3]
    where = np.zeros(said.seconds.shape, dtype=bool)
    where[1000:1500] = True
    for kind in KINDS.values():
        other: Said = kind.inject(said, where, np.random.default_rng(1))
        assert (other.told[~where] == said.told[~where]).all(), kind.name
        for variable in SPOKEN:
            same = np.array_equal(
                other.values[variable][~where], said.values[variable][~where], equal_nan=True
            )
            assert same, (kind.name, variable)
