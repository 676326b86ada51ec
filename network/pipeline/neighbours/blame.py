"""Whose fault it is: one false station makes those around it look false too, so the falsest is silenced first."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from network.pipeline.ledger import blocks
from network.pipeline.neighbours.compare import departures
from network.pipeline.neighbours.frames import frames
from network.quality import register
from network.quality.finding import Finding
from network.quality.record import Record
from network.science.variables import MAPPED
from stations.models import Village

MOST = 1 / 3
"""Of a variable's stations so many may be silenced, at least one: beyond it nobody can say who is right."""

COMPARED_BY = {
    "station_pressure": "sea_level_pressure",
    "relative_humidity": "dew_point",
    "wind_gust": "wind_speed",
}
"""What a variable is compared by that is not compared itself."""


def blamed(village: Village, records: Sequence[Record]) -> tuple[list[Record], list[list[Finding]]]:
    """The records with what is found in each, the false ones no longer speaking for the others.

    In each round the station with the most strained finding about a variable is silenced, the departures of
    the others are worked out anew without it and looked at again, until what is found is only theirs who
    are silent. The departures of the stations silenced last stand on the sound ones alone.
    """
    seen = list(records)
    found = [register.look_back(record) for record in seen]
    silent: dict[str, set[int]] = {name: set() for name in MAPPED}
    around = None
    while accused := _accused(seen, found, silent):
        if around is None:
            first, last = min(r.seconds[0] for r in seen), max(r.seconds[-1] for r in seen)
            around = frames(village, int(first) - blocks.FRAME, int(last))
        anew = {}
        for name, station in accused.items():
            silent[name].add(station)
            anew[name] = departures(around, name, silent[name])
        for i, record in enumerate(seen):
            seen[i] = _with(record, around.at, anew)
            found[i] = register.look_back(seen[i])
    return seen, found


def _accused(
    records: Sequence[Record], found: Sequence[Sequence[Finding]], silent: Mapping[str, set[int]]
) -> dict[str, int]:
    """By variable the station that is to be silenced next."""
    accused = {}
    for name in MAPPED:
        compared = {record.station for record in records if record.compared(name).any()}
        if len(compared) < 3 or len(silent[name]) >= max(1, int(MOST * len(compared))):
            continue
        strains = [
            (one.strain, record.station)
            for record, own in zip(records, found, strict=True)
            for one in own
            if record.station in compared - silent[name] and _about(one, record, name)
        ]
        if strains:
            accused[name] = max(strains)[1]
    return accused


def _about(found: Finding, record: Record, name: str) -> bool:
    """Whether a finding makes a station's word on a variable doubtful; one of the whole station all of them."""
    variable = found.variable or name
    return name in record.departures and COMPARED_BY.get(variable, variable) == name


def _with(record: Record, at: np.ndarray, anew: Mapping[str, tuple[dict, dict]]) -> Record:
    """The record with some variables compared anew; ``at`` are the frames they were compared at."""
    part = np.searchsorted(at, record.seconds)
    departure, expected, error = dict(record.departures), dict(record.expected), dict(record.errors)
    for name, (apart, errors) in anew.items():
        if name in departure and record.station in apart:
            known = np.isfinite(expected[name] + departure[name])
            observed = expected[name] + departure[name]
            departure[name] = np.where(known, apart[record.station][part], np.nan)
            expected[name] = observed - departure[name]
            error[name] = np.where(known, errors[record.station][part], np.nan)
    return replace(record, departures=departure, expected=expected, errors=error)
