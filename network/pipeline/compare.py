"""Stage: how far every station departs from what its trusted neighbours lead one to expect."""

from collections.abc import Callable

import numpy as np

from network.models import Comparison
from network.models.comparison import DEPARTURES, ERRORS
from network.models.storage import Rows, read, replace, single
from network.pipeline import blocks, work
from network.pipeline.frames import Use, frames
from network.science.variables import MAPPED, VARIABLES
from network.spatial.field import Field
from network.spatial.neighbours import expected_from_neighbours
from stations.models import Village

COLUMNS = (*DEPARTURES, *ERRORS)


def compare(village_id: int, block: int) -> Callable[[], None]:
    """Leave each station out in turn, at every frame of the block."""
    village = Village.objects.get(pk=village_id)
    seen = frames(village, block, block + blocks.BLOCK)
    stations = sorted({place.station for place in seen.places})
    if not stations:
        return work.nothing
    table = {(station, name): np.full(len(seen.at), np.nan) for station in stations for name in COLUMNS}
    for name in MAPPED:
        said, trusted = seen.values(name, Use.ALL), seen.values(name, Use.COMPARED)
        best = np.where(np.isfinite(trusted), trusted, said)
        found = expected_from_neighbours(
            seen.sites, seen.noise(name), Field.of(VARIABLES[name].field), best, np.isfinite(trusted)
        )
        departure = best - found.expected
        for i, place in enumerate(seen.places):
            known = np.isfinite(departure[i])
            table[place.station, name][known] = departure[i][known]
            table[place.station, f"{name}_error"][known] = found.error[i][known]
    new = Rows.join([_rows(station, seen.at, table) for station in stations], COLUMNS)
    old = read(Comparison, stations, block + 1, block + blocks.BLOCK + 1, COLUMNS)
    return work.then(_keep, village_id, old, new)


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
