"""A village in the hub: stations as their households would register them, reports by the door, and what became of them."""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import NamedTuple

import numpy as np
from django.db import transaction

from network.models import Case, Evidence, Observation, Work
from network.models.observation import MARKS, VALUES
from network.models.storage import Rows, read
from network.pipeline.intake.receive import Receipt, Sender, receive
from network.pipeline.ledger import work
from network.pipeline.settle import settle
from network.pipeline.stages import STAGES
from network.science.units import convert
from network.science.variables import VARIABLES
from stations.models import Channel, Household, Instrument, Placement, SitingNote, Station, Village
from tests.faults.kind import Event
from tests.faults.kinds.transmission import TWICE
from tests.faults.open_data import Source
from tests.faults.said import ACCURACY, MEASURED, SPOKEN, Said
from tests.faults.world import RANGES, Place, World
from tests.network.made_village import FOUNDED, JSON, found_village
from tests.network.pipeline import replay

IN_A_REPORT = 36
"""Observations: boards here gather three hours."""

LATE = 7200.0
"""[s] After which a report arrives, so that a clock that is an hour fast does not claim the future."""

SITING_CLASS = 2
"""What the households' siting notes say."""


class Seen(NamedTuple):
    """What the hub made of one station."""

    station: Station
    rows: Rows
    evidence: list[Evidence]
    cases: list[Case]


SILENT = (Work.Stage.MAP, Work.Stage.SUMMARISE, Work.Stage.LEARN)
"""Stages that say nothing of verdicts, which are left out here."""


def nothing(village: int, block: int) -> Callable[[], None]:
    """A stage that does nothing."""
    return work.nothing


def draw_nothing() -> None:
    """Do without maps and summaries in this process."""
    STAGES.update(dict.fromkeys(SILENT, nothing))


def register(name: str, places: Sequence[Place]) -> tuple[Village, list[Station]]:
    """A village of stations that measure all nine variables."""
    village = found_village(name=name)
    return village, [_register(village, f"{name} {i}", place) for i, place in enumerate(places)]


def register_open(name: str, world: World, source: Source) -> tuple[Village, list[Station]]:
    """The stations of a data set, as their households would describe them."""
    spoken = {
        variable: (*SPOKEN[variable][:2], dict(figures)) for variable, figures in source.figures.items()
    }
    places = {
        f"{name} {i}": (place.latitude, place.longitude, place.elevation)
        for i, place in enumerate(world.places)
    }
    village = replay.found(name, source.zone, places, spoken, every=source.step)
    return village, [Station.objects.of(village).get(name=one) for one in places]


def settled(
    village: Village, stations: Sequence[Station], said: Sequence[Said], events: Sequence[Event]
) -> list[Seen]:
    """Everything sent and worked through; ``events`` by the index of their station here."""
    for i, station in enumerate(stations):
        twice = [event for event in events if event.station == i and event.kind == TWICE]
        deliver(station, said[i], twice)
    settle(village.pk)
    return [seen(station) for station in stations]


def _register(village: Village, name: str, place: Place) -> Station:
    household = Household.objects.create(village=village, name=name)
    station = Station.objects.create(
        household=household, name=name, state=Station.State.LIVE, counts_from=FOUNDED, report_every=300
    )
    placement = Placement.objects.create(
        station=station,
        latitude=place.latitude,
        longitude=place.longitude,
        elevation=place.elevation,
        begins_at=FOUNDED,
    )
    for variable in MEASURED:
        _fit(station, placement, variable)
    return station


def _fit(station: Station, placement: Placement, variable: str) -> None:
    channel, unit, resolution = SPOKEN[variable]
    canonical = VARIABLES[variable].unit
    low, high = convert(RANGES[variable], unit, canonical)
    zero, step, error = convert([0.0, resolution, ACCURACY[variable]], unit, canonical)
    fitted = Instrument.objects.create(
        station=station,
        variable=variable,
        begins_at=FOUNDED,
        range_low=low,
        range_high=high,
        resolution=step - zero,
        accuracy=error - zero,
        height=10.0 if variable.startswith("wind") else None,
    )
    Channel.objects.create(station=station, instrument=fitted, name=channel, unit=unit, begins_at=FOUNDED)
    SitingNote.objects.create(
        placement=placement,
        variable=variable,
        siting_class=SITING_CLASS,
        written_at=datetime(2020, 1, 2, tzinfo=UTC),
    )


def deliver(station: Station, said: Said, twice: Sequence[Event] = ()) -> None:
    """Hand a station's reports in; what falls within ``twice`` comes once more, in any order."""
    sender = Sender.of(station)
    with transaction.atomic():
        for first in range(0, len(said.seconds), IN_A_REPORT):
            _hand_in(sender, said, range(first, min(first + IN_A_REPORT, len(said.seconds))))
        for event in twice:
            random = np.random.default_rng(event.seed)
            for at in random.permutation(np.arange(event.first, event.last)):
                _hand_in(sender, said, range(int(at), int(at) + 1))


def _hand_in(sender: Sender, said: Said, part: range) -> None:
    observations = [one for one in _observations(said, part) if len(one) > 1]
    if observations:
        received_at = float(said.seconds[part[-1]]) + LATE
        answer = receive(sender, json.dumps(observations).encode(), JSON, received_at)
        assert isinstance(answer, Receipt), answer


def _observations(said: Said, part: range) -> Iterator[Mapping[str, float]]:
    columns = {
        SPOKEN[name][0]: values[part.start : part.stop].tolist() for name, values in said.values.items()
    }
    for row, at in enumerate(said.told[part.start : part.stop].tolist()):
        values = {channel: column[row] for channel, column in columns.items()}
        yield {"time": at} | {channel: value for channel, value in values.items() if value == value}


def seen(station: Station) -> Seen:
    """What the hub holds of a station now."""
    return Seen(
        station,
        read(Observation, [station.pk], 0, 1 << 40, (*VALUES, *MARKS)),
        list(Evidence.objects.filter(station=station).order_by("begins_at", "variable", "check_name")),
        list(Case.objects.filter(station=station).open()),
    )
