"""Stage: how far every station departs from what its trusted neighbours lead one to expect."""

from collections.abc import Callable, Iterable
from typing import NamedTuple

import numpy as np

from network.models import Comparison
from network.models.comparison import DEPARTURES, ERRORS
from network.models.storage import Floats, Rows, read, replace, single
from network.pipeline.ledger import blocks, work
from network.pipeline.neighbours.frames import Frames, Use, frames
from network.science.variables import MAPPED, VARIABLES
from network.spatial.field import Field
from network.spatial.neighbours import expected_from_neighbours
from stations.models import Village

COLUMNS = (*DEPARTURES, *ERRORS)
OfStation = dict[int, Floats]
Silence = tuple[int, int, int]
"""A station that does not speak for the others, and from when to when [UTC epoch s]."""


class Expectations(NamedTuple):
    """By station arrays of shape (t,), NaN where there is nothing to compare."""

    said: OfStation
    expected: OfStation
    error: OfStation
    """Standard error of what was expected."""


def compare(village_id: int, block: int) -> Callable[[], None]:
    """Leave each station out in turn, at every frame of the block."""
    village = Village.objects.get(pk=village_id)
    seen = frames(village, block, block + blocks.BLOCK)
    stations = sorted({place.station for place in seen.places})
    if not stations:
        return work.nothing
    compared = {name: expectations(seen, name) for name in MAPPED}
    table = {}
    for station in stations:
        for name, one in compared.items():
            table[station, name] = one.said[station] - one.expected[station]
            table[station, f"{name}_error"] = one.error[station]
    new = Rows.join([_rows(station, seen.at, table) for station in stations], COLUMNS)
    old = read(Comparison, stations, block + 1, block + blocks.BLOCK + 1, COLUMNS)
    return work.then(_keep, village_id, old, new)


def expectations(seen: Frames, name: str, silences: Iterable[Silence] = ()) -> Expectations:
    """What the trusted neighbours lead one to expect of every station at every frame."""
    said, trusted = seen.values(name, Use.ALL), seen.values(name, Use.COMPARED)
    best = np.where(np.isfinite(trusted), trusted, said)
    speaks = np.isfinite(trusted)
    stands = np.array([place.station for place in seen.places])
    for station, begins_at, ends_at in silences:
        speaks[np.ix_(stands == station, (seen.at > begins_at) & (seen.at <= ends_at))] = False
    found = expected_from_neighbours(
        seen.sites, seen.noise(name), Field.of(VARIABLES[name].field), best, speaks
    )
    told = Expectations(
        *({place.station: np.full(len(seen.at), np.nan) for place in seen.places} for _ in range(3))
    )
    for i, place in enumerate(seen.places):
        known = np.isfinite(best[i] - found.expected[i])
        for part, values in zip(told, (best, found.expected, found.error), strict=True):
            part[place.station][known] = values[i][known]
    return told


def _keep(village_id: int, old: Rows, new: Rows) -> None:
    changed = replace(Comparison, old, new)
    if len(changed):
        work.mark_long_run(village_id, int(changed[0]), int(changed[-1]))


def _rows(station: int, at: np.ndarray, table: dict[tuple[int, str], np.ndarray]) -> Rows:
    """One station's frames at which anything could be compared."""
    columns = {name: single(table[station, name]) for name in COLUMNS}
    known = np.isfinite(np.column_stack(list(columns.values()))).any(axis=1)
    return Rows(
        np.full(int(known.sum()), station, np.int64),
        at[known],
        {name: c[known] for name, c in columns.items()},
    )
