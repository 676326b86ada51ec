"""What can be run in one process: faults in a world, clean weather, severe weather, open data."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import asdict, replace
from typing import Any

import numpy as np

from tests.faults import clean, hub, open_data
from tests.faults.judge import Outcome, outcome
from tests.faults.kind import Event
from tests.faults.kinds import KINDS
from tests.faults.plan import faulty, injected, plan
from tests.faults.world import World, make

Result = dict[str, Any]


def faults(
    seed: int, quarter: int, wanted: Mapping[str, int], stations: int, days: int, timed: list[str]
) -> Result:
    """Outcomes of the wanted kinds in one world of so many stations, neighbours of one another.

    Of one event of each kind in ``timed`` it is asked also how soon it was found.
    """
    whole = make(seed, quarter, days)
    world = whole.of(_nearest(whole, seed % len(whole.places), stations))
    events = plan(world, wanted)
    everyone = list(range(stations))
    seen = _run("faults", world, everyone, events)
    return {"outcomes": [asdict(one) for one in _judged(world, events, seen, timed)]}


def clean_weather(seed: int, quarter: int, counts: list[int], days: int) -> Result:
    """How often honest readings are doubted, with so many stations in turn."""
    world = make(seed, quarter, days)
    return {
        "clean": {
            count: clean.tally(_run(f"clean {count}", world, _nearest(world, 0, count), []))
            for count in counts
        }
    }


def severe_weather(seed: int, quarter: int, counts: list[int], days: int) -> Result:
    """How often honest readings are doubted while a storm passes; by kind of storm where all stations stand."""
    world = make(seed, quarter, days, severe=True)
    together, apart = {}, {}
    for count in counts:
        seen = _run(f"severe {count}", world, _nearest(world, 0, count), [])
        together[count] = clean.tally(seen, [(first, last) for _, first, last in world.storms])
        if count == len(world.places):
            for name in {name for name, _, _ in world.storms}:
                spans = [(first, last) for storm, first, last in world.storms if storm == name]
                apart[name] = clean.tally(seen, spans)
    return {"severe": together, "storms": apart}


def open_faults(source: str, begins: str, seed: int) -> Result:
    """Outcomes in a spell of open data, and how often it is doubted as it is."""
    told = open_data.SOURCES[source]
    world = open_data.make(told, begins, seed)
    events = plan(world, dict.fromkeys(open_data.KINDS, 20))
    chosen = list(range(len(world.places)))
    outcomes, tallies = [], {}
    for own in ([], events):
        name = f"{source} {seed} {'faulty' if own else 'as it is'}"
        village, stations = hub.register_open(name, world, told)
        seen = hub.settled(village, stations, [faulty(world, own, i) for i in chosen], own)
        if own:
            outcomes = _judged(world, own, seen, open_data.KINDS)
        else:
            tallies = {len(chosen): clean.tally(seen)}
    return {
        "outcomes": [asdict(one) | {"kind": f"{one.kind} ({source})"} for one in outcomes],
        "clean": tallies,
        "source": source,
    }


JOBS: dict[str, Callable[..., Result]] = {
    "faults": faults,
    "clean": clean_weather,
    "severe": severe_weather,
    "open": open_faults,
}


def _run(name: str, world: World, chosen: list[int], events: list[Event]) -> list[hub.Seen]:
    """The chosen stations in the hub, the events befalling them."""
    village, stations = hub.register(f"{name} {world.seed}", [world.places[i] for i in chosen])
    said = [faulty(world, events, i) for i in chosen]
    here = [replace(event, station=chosen.index(event.station)) for event in events]
    return hub.settled(village, stations, said, here)


def _judged(world: World, events: list[Event], seen: list[hub.Seen], timed: Collection[str]) -> list[Outcome]:
    outcomes: list[Outcome] = []
    for event in events:
        beside = [other for other in events if other.station == event.station]
        said = faulty(world, events, event.station)
        soon = event.kind in timed and not any(
            one.delay is not None and one.kind == event.kind for one in outcomes
        )
        here = seen[event.station]
        outcomes.append(outcome(event, beside, said, here, len(seen), world.seed, soon, _limit(world, event)))
    return outcomes


def _limit(world: World, event: Event) -> int | None:
    """When it is to be found at the latest [UTC epoch s], where its kind says so."""
    by, honest = KINDS[event.kind].by, world.honest[event.station]
    if by is None:
        return None
    together = np.any(list(event.affected.values()), axis=0)
    return int(world.seconds[by(honest, injected(honest, event), together)])


def _nearest(world: World, station: int, count: int) -> list[int]:
    """A station and those nearest to it."""
    own = world.places[station]
    apart = [np.hypot(p.latitude - own.latitude, 0.68 * (p.longitude - own.longitude)) for p in world.places]
    return [int(i) for i in np.argsort(apart)[:count]]
