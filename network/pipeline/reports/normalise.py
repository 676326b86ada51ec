"""Stage: reports become observations, in standard units and true time."""

import time
from collections.abc import Callable

import numpy as np

from network.models import Observation, Report
from network.models.observation import MARKS, VALUES
from network.models.storage import Rows, read, replace, single
from network.pipeline.ledger import blocks, work
from network.pipeline.metadata.stretches import Stretch, stretches
from network.pipeline.metadata.tongue import Tongue
from network.pipeline.reports.derive import derive
from network.pipeline.reports.hear import gather, hear
from network.quality.verdict import MISSING, UNCHECKED
from stations.models import Station, Village

COLUMNS = ("said_twice", *VALUES, *MARKS)


def normalise(village_id: int, block: int) -> Callable[[], None]:
    """Understand every report that speaks of the block."""
    village = Village.objects.get(pk=village_id)
    stations = Station.objects.of(village).prefetch_related(
        "channels__instrument", "channels__calibrations", "clocks"
    )
    tongues = [Tongue.of(station) for station in stations]
    places = stretches(village, block, block + blocks.BLOCK)
    parts = [
        _observe(tongue, [s for s in places if s.station == tongue.station], block) for tongue in tongues
    ]
    new = Rows.join([part for part in parts if len(part)], COLUMNS)
    old = read(Observation, [t.station for t in tongues], block, block + blocks.BLOCK, COLUMNS)
    totals = any(tongue.remembers for tongue in tongues)
    return work.then(_keep, village_id, block, totals, old, _with_marks_kept(old, new))


def _keep(village_id: int, block: int, totals: bool, old: Rows, new: Rows) -> None:
    changed = replace(Observation, old, new)
    if len(changed):
        work.mark_observations(village_id, int(changed[0]), int(changed[-1]))
        if totals:  # a running total is read from the report before, which may lie in this block
            after = block + blocks.BLOCK
            work.mark_reports(village_id, after, min(after + blocks.CONTEXT - 1, time.time() + blocks.BLOCK))


def _observe(tongue: Tongue, places: list[Stretch], block: int) -> Rows:
    """One station's observations within the block."""
    end = block + blocks.BLOCK
    back = blocks.CONTEXT if tongue.remembers else 0
    reports = Report.objects.speaking_of(tongue.station, block - back - tongue.shift, end + tongue.shift)
    times, columns, said_twice = gather(hear(tongue, reports, block - back).heard, block, end)
    columns |= derive(columns, _barometer_elevation(places, times))
    columns = {name: single(column) for name, column in columns.items()}
    marks = {
        f"{name}_mark": np.where(np.isnan(column), MISSING, UNCHECKED).astype(np.float64)
        for name, column in columns.items()
    }
    station = np.full(len(times), tongue.station, np.int64)
    return Rows(station, times, {"said_twice": said_twice.astype(np.float64)} | columns | marks)


def _barometer_elevation(places: list[Stretch], times: np.ndarray) -> np.ndarray:
    """[m] Of the barometer above mean sea level at each time; NaN where the station stood nowhere."""
    elevation = np.full(len(times), np.nan)
    for place in places:
        held = (times >= place.begins_at) & (times < place.ends_at)
        elevation[held] = place.elevation + place.height.get("station_pressure", 0.0)
    return elevation


def _with_marks_kept(old: Rows, new: Rows) -> Rows:
    """``new`` with the verdicts of those readings that ``old`` held with the same value."""
    keys = [np.stack([rows.station, rows.at]).T.copy().view("i8,i8").ravel() for rows in (old, new)]
    _, in_old, in_new = np.intersect1d(*keys, assume_unique=True, return_indices=True)
    for name in VALUES:
        mark, before = new.columns[f"{name}_mark"], old.columns[f"{name}_mark"][in_old]
        same = (new.columns[name][in_new] == old.columns[name][in_old]) & np.isfinite(before)
        mark[in_new[same]] = before[same]
    return new
