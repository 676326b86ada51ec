"""Whose fault it is: one false station makes those around it look false too, so the falsest is silenced first."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from network.pipeline.ledger import blocks
from network.pipeline.neighbours.compare import Expectations, Silence, expectations
from network.pipeline.neighbours.frames import frames
from network.quality import register
from network.quality.finding import Finding
from network.quality.record import Record
from network.science.variables import MAPPED
from stations.models import Village

MOST = 1 / 3
"""Of a variable's stations so many may be silent at a time, at least one: beyond it nobody can say who is right."""

COVERED = 0.8
"""Share of a finding that must be silent already for it to accuse no more: looked at again, its edges move."""

MARGIN = 6 * blocks.HOUR
"""[s] Silence before and after what was found, whose edges are known to some hours."""

COMPARED_BY = {
    "station_pressure": "sea_level_pressure",
    "relative_humidity": "dew_point",
    "wind_gust": "wind_speed",
}
"""What a variable is compared by that is not compared itself."""


def blamed(village: Village, records: Sequence[Record]) -> tuple[list[Record], list[list[Finding]]]:
    """The records with what is found in each, the false ones no longer speaking for the others.

    In each round the station with the most strained finding about a variable is silenced for as long as the
    finding lasts, the departures of the others are worked out anew without it and looked at again, until what
    is found is only theirs who are silent then. The departures of those silenced last stand on the sound ones.
    """
    seen = list(records)
    found = [register.look_back(record) for record in seen]
    silences: dict[str, list[Silence]] = {name: [] for name in MAPPED}
    around = None
    while accused := _accused(seen, found, silences):
        if around is None:
            first, last = min(r.seconds[0] for r in seen), max(r.seconds[-1] for r in seen)
            around = frames(village, int(first) - blocks.FRAME, int(last))
        anew = {}
        for name, silence in accused.items():
            silences[name].append(silence)
            anew[name] = expectations(around, name, silences[name])
        for i, record in enumerate(seen):
            seen[i] = _with(record, around.at, anew)
            found[i] = register.look_back(seen[i])
    return seen, found


def _accused(
    records: Sequence[Record], found: Sequence[Sequence[Finding]], silences: Mapping[str, list[Silence]]
) -> dict[str, Silence]:
    """By variable the station that is to be silenced next, and for how long."""
    accused = {}
    for name in MAPPED:
        compared = {record.station for record in records if record.compared(name).any()}
        if len(compared) < 3:
            continue
        strains = [
            (strain, silence)
            for record, own in zip(records, found, strict=True)
            if record.station in compared
            for strain, silence in _accusations(record, own, name)
            if _may_be_silenced(silence, silences[name], max(1, int(MOST * len(compared))))
        ]
        if strains:
            _, (station, begins_at, ends_at) = max(strains)
            accused[name] = station, begins_at - MARGIN, ends_at + MARGIN
    return accused


def _accusations(record: Record, found: Sequence[Finding], name: str) -> list[tuple[float, Silence]]:
    """How strained, and from when to when, each check finds a station's word on a variable doubtful.

    A check may tell of one thing in several pieces, such as a drift day by day.
    """
    pieces: dict[tuple[str, str], list[Finding]] = {}
    for one in found:
        variable = one.variable or name  # a finding about the whole station is about all of them
        if name in record.departures and COMPARED_BY.get(variable, variable) == name:
            pieces.setdefault((one.check, one.variable), []).append(one)
    return [
        (
            max(one.strain for one in own),
            (record.station, min(one.begins_at for one in own), max(one.ends_at for one in own)),
        )
        for own in pieces.values()
    ]


def _may_be_silenced(wanted: Silence, silences: Sequence[Silence], most: int) -> bool:
    """Whether a station still speaks within the span, and few enough others are silent then."""
    station, begins_at, ends_at = wanted
    covered = max(
        (min(ends_at, last) - max(begins_at, first) for who, first, last in silences if who == station),
        default=0,
    )
    meanwhile = {
        who for who, first, last in silences if who != station and first < ends_at and last > begins_at
    }
    return covered < COVERED * (ends_at - begins_at) and len(meanwhile) < most


def _with(record: Record, at: np.ndarray, anew: Mapping[str, Expectations]) -> Record:
    """The record with some variables compared anew; ``at`` are the frames they were compared at."""
    part = np.searchsorted(at, record.seconds)
    departure, expected, error = dict(record.departures), dict(record.expected), dict(record.errors)
    for name, one in anew.items():
        if name in departure and record.station in one.expected:
            observed = expected[name] + departure[name]
            expected[name] = np.where(np.isfinite(observed), one.expected[record.station][part], np.nan)
            departure[name] = observed - expected[name]
            error[name] = np.where(np.isfinite(observed), one.error[record.station][part], np.nan)
    return replace(record, departures=departure, expected=expected, errors=error)
