"""Stage: every reading gets its verdict, from all the evidence at once."""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from network.models import Evidence, Observation, Work
from network.models.observation import MARKS, VALUES
from network.models.storage import Rows, replace
from network.pipeline.ledger import blocks, work
from network.pipeline.verdicts import steward
from network.pipeline.verdicts.judge import judge
from network.pipeline.verdicts.runs import runs
from network.quality.verdict import GOOD, inherit, senseless
from stations.models import Village


def check(village_id: int, block: int, run: int = 1) -> Callable[[], None]:
    """Judge every reading of a run of blocks."""
    edges = range(block, block + run * blocks.BLOCK + 1, blocks.BLOCK)
    judged = judge(Village.objects.get(pk=village_id), block, run=run)
    stations, rows, decisions = judged.stations, judged.rows, judged.decisions
    parts, evidence = [], []
    for view, (marks, found) in zip(judged.views, judged.seen, strict=True):
        station, at = view.stretch.station, view.rows.at
        places = np.searchsorted(at, edges).tolist()
        first, last = places[0], places[-1]
        spoken = steward.overrule(marks, station, at, decisions)
        parts.append(
            _with_marks(view.rows.between(first, last), {k: m[first:last] for k, m in spoken.items()})
        )
        # What the checks saw stays on record whatever the steward made of it, and the case with it; what they
        # saw while somebody was at work on the station is nothing to look at.
        noted = {
            k: np.where(steward.maintained(k, station, at, decisions), GOOD, m) for k, m in marks.items()
        }
        noted = inherit(noted)
        for part in pairwise(places):  # evidence ends with its block, so that each block can be judged alone
            evidence += runs(station, at, noted, found, view.window.values, *part)
    new = Rows.join([part for part in parts if len(part)], ("said_twice", *VALUES, *MARKS))
    inside = (rows.at >= block) & (rows.at < edges[-1])
    old = Rows(
        rows.station[inside], rows.at[inside], {name: column[inside] for name, column in rows.columns.items()}
    )
    return work.then(_keep, village_id, edges, stations, old, _only_known(old, new), evidence)


def _keep(
    village_id: int, edges: Sequence[int], stations: set[int], old: Rows, new: Rows, evidence: list[Evidence]
) -> None:
    changed = replace(Observation, old, new)
    for part in np.split(changed, np.searchsorted(changed, edges[1:-1])):
        if len(part):
            work.mark_verdicts(village_id, int(part[0]), int(part[-1]))
    if _senseless(old) != _senseless(new):
        work.mark_long_run(village_id, edges[0], edges[-1])
    before = Evidence.objects.filter(station__in=stations, begins_at__gte=edges[0], begins_at__lt=edges[-1])
    told_before, told = ({_told(one): one.begins_at for one in each} for each in (before, evidence))
    if otherwise := told_before.keys() ^ told.keys():
        before.delete()
        Evidence.objects.bulk_create(evidence)
        begun = {blocks.block_of((told_before | told)[one]) for one in otherwise}
        work.mark(village_id, Work.Stage.RAISE_CASES, begun)  # also where a steward had the last word


def _senseless(rows: Rows) -> set[tuple[str, int, int]]:
    """The readings that tell the long run nothing: variable, station and time."""
    return {
        (name, int(rows.station[i]), int(rows.at[i]))
        for name in MARKS
        for i in np.flatnonzero(senseless(np.nan_to_num(rows.columns[name]).astype(np.int64)))
    }


def _told(one: Evidence) -> tuple[object, ...]:
    return tuple(getattr(one, field.attname) for field in Evidence._meta.concrete_fields if field.column)


def _with_marks(rows: Rows, marks: dict[str, np.ndarray]) -> Rows:
    columns = dict(rows.columns)
    for name, mark in marks.items():
        before = columns[f"{name}_mark"]
        columns[f"{name}_mark"] = np.where(np.isfinite(before), mark.astype(np.float64), np.nan)
    return Rows(rows.station, rows.at, columns)


def _only_known(old: Rows, new: Rows) -> Rows:
    """``new`` and, as they were, those rows of ``old`` that lie in no stretch: a station placed nowhere."""
    if len(new) == len(old):
        return new
    judged = set(zip(new.station.tolist(), new.at.tolist(), strict=True))
    kept = np.array(
        [key not in judged for key in zip(old.station.tolist(), old.at.tolist(), strict=True)], bool
    )
    station = np.concatenate([new.station, old.station[kept]])
    at = np.concatenate([new.at, old.at[kept]])
    order = np.lexsort((at, station))
    columns = {
        name: np.concatenate([new.columns[name], old.columns[name][kept]])[order] for name in old.columns
    }
    return Rows(station[order], at[order], columns)
