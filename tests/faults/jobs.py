"""What can be run in one process: faults in a world, clean weather, severe weather, open data."""

from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any

import numpy as np

from tests.faults import clean, hub
from tests.faults.judge import outcome
from tests.faults.kind import Event
from tests.faults.plan import faulty, plan
from tests.faults.world import World, make

Result = dict[str, Any]


def faults(seed: int, quarter: int, wanted: Mapping[str, int], counts: list[int], days: int) -> Result:
    """Outcomes of the wanted kinds in one world, with so many stations in turn."""
    world = make(seed, quarter, days)
    events = plan(world, wanted)
    outcomes, honest = [], []
    for count in counts:
        for chosen in _villages(world, events, count):
            whole = count >= len(world.places)
            own = events if whole else [event for event in events if event.station == chosen[0]]
            seen = _run(f"faults {count} {chosen[0]}", world, chosen, own)
            for event in own:
                i = chosen.index(event.station)
                others = [other for other in own if other.station == event.station]
                said = faulty(world, own, event.station)
                outcomes.append(asdict(outcome(event, others, said, seen[i], count, seed)))
            if whole:
                unharmed = [seen[i] for i in chosen if not any(e.station == i for e in own)]
                honest.append(clean.tally(unharmed))
    return {"outcomes": outcomes, "neighbours": honest}


def clean_weather(seed: int, quarter: int, counts: list[int], days: int) -> Result:
    """How often honest readings are doubted, with so many stations in turn."""
    world = make(seed, quarter, days)
    tallies = {}
    for count in counts:
        chosen = _nearest(world, 0, count)
        tallies[count] = clean.tally(_run(f"clean {count}", world, chosen, []))
    return {"clean": tallies}


def severe_weather(seed: int, quarter: int, counts: list[int], days: int) -> Result:
    """How often honest readings are doubted while a storm passes."""
    world = make(seed, quarter, days, severe=True)
    spans = [(first, last) for _, first, last in world.storms]
    tallies, by_storm = {}, {}
    for count in counts:
        seen = _run(f"severe {count}", world, _nearest(world, 0, count), [])
        tallies[count] = clean.tally(seen, spans)
        for name, first, last in world.storms:
            by_storm[f"{name}, {count}"] = clean.tally(seen, [(first, last)])
    return {"severe": tallies, "storms": by_storm}


JOBS: dict[str, Callable[..., Result]] = {
    "faults": faults,
    "clean": clean_weather,
    "severe": severe_weather,
}


def _run(name: str, world: World, chosen: list[int], events: list[Event]) -> list[hub.Seen]:
    """The chosen stations in the hub, the events befalling them."""
    said = [faulty(world, events, i) for i in chosen]
    moved = [Event(**{**vars(event), "station": chosen.index(event.station)}) for event in events]
    return hub.settled(f"{name} {world.seed}", [world.places[i] for i in chosen], said, moved)


def _villages(world: World, events: list[Event], count: int) -> list[list[int]]:
    """Stations for a village of ``count``: all, or the station with most events before its nearest neighbours."""
    if count >= len(world.places):
        return [list(range(len(world.places)))]
    often = np.bincount([event.station for event in events], minlength=len(world.places))
    return [_nearest(world, int(np.argmax(often)), count)] if events else []


def _nearest(world: World, station: int, count: int) -> list[int]:
    """A station and those nearest to it."""
    own = world.places[station]
    apart = [np.hypot(p.latitude - own.latitude, 0.68 * (p.longitude - own.longitude)) for p in world.places]
    return [int(i) for i in np.argsort(apart)[:count]]
