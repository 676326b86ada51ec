"""Stage: hours and village days of good readings, with the counts behind every figure."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

import numpy as np

from network.models import Observation, Summary
from network.models.observation import MARKS, VALUES
from network.models.storage import Rows, read, single
from network.pipeline.ledger import blocks, work
from network.pipeline.metadata.tongue import from_epoch
from network.quality.verdict import GOOD, MISSING
from network.science.summary import summarise as figures
from network.science.variables import VARIABLES
from stations.models import Station, Village

FIELDS = ("mean", "low", "high", "total", "good", "reports")


def summarise(village_id: int, block: int) -> Callable[[], None]:
    """The hours of the block, and the village days that it touches."""
    village = Village.objects.get(pk=village_id)
    edges = _days(village, block, block + blocks.BLOCK)
    hours = np.arange(block, block + blocks.BLOCK + 1, blocks.HOUR)
    stations = dict(Station.objects.of(village).values_list("pk", "report_every"))
    # A period's readings end within it: the value stamped midnight closes the day before.
    rows = read(Observation, stations, int(edges[0]) + 1, int(edges[-1]) + 1, (*VALUES, *MARKS))
    new = []
    for station, every in stations.items():
        own = rows.of(station)
        new += _summaries(station, own, hours, Summary.Span.HOUR, every)
        new += _summaries(station, own, edges, Summary.Span.DAY, every)
    old = Summary.objects.filter(
        station__in=stations, span=Summary.Span.HOUR, begins_at__range=(hours[0], hours[-2])
    )
    old |= Summary.objects.filter(
        station__in=stations, span=Summary.Span.DAY, begins_at__range=(edges[0], edges[-2])
    )
    return work.then(_keep, {s.pk: s for s in old}, {s.pk: s for s in new})


def _keep(old: dict[tuple, Summary], new: dict[tuple, Summary]) -> None:
    gone = [pk for pk, one in old.items() if pk not in new or _content(one) != _content(new[pk])]
    for station, span, begins_at, variable in gone:
        Summary.objects.filter(station_id=station, span=span, begins_at=begins_at, variable=variable).delete()
    Summary.objects.bulk_create(
        [one for pk, one in new.items() if pk not in old or _content(one) != _content(old[pk])]
    )


def _content(one: Summary) -> tuple[object, ...]:
    return tuple(getattr(one, field) for field in FIELDS)


def _days(village: Village, begins_at: int, ends_at: int) -> np.ndarray:
    """Edges of the village days that the span touches [UTC epoch s]; twice a year one has 23 or 25 hours."""
    zone = village.clock
    day = from_epoch(begins_at).astimezone(zone).date()
    edges = []
    while True:
        edge = datetime(day.year, day.month, day.day, tzinfo=zone).timestamp()
        edges.append(int(edge))
        if edge >= ends_at:
            return np.array(edges)
        day += timedelta(days=1)


def _summaries(station: int, rows: Rows, edges: np.ndarray, span: str, every: int) -> Iterator[Summary]:
    """Every period of every variable that has a reading in it."""
    group = np.searchsorted(edges, rows.at, side="left") - 1
    inside = (group >= 0) & (group < len(edges) - 1)
    group, count = group[inside], len(edges) - 1
    due = np.diff(edges) / every
    for name in VALUES:
        mark = rows.columns[f"{name}_mark"][inside]
        verdict = np.nan_to_num(mark, nan=MISSING).astype(np.int64) & 7
        reports = np.bincount(group[verdict != MISSING], minlength=count)
        if not reports.any():
            continue
        values = np.where(verdict == GOOD, rows.columns[name][inside], np.nan)
        made = figures(values, group, VARIABLES[name].summary, due=due)
        told = {field: _numbers(made[field]) for field in ("mean", "low", "high", "total")}
        for i in np.flatnonzero(reports):
            yield Summary(
                station_id=station,
                span=span,
                begins_at=int(edges[i]),
                variable=name,
                good=int(made["count"][i]),
                reports=int(reports[i]),
                **{field: numbers[i] for field, numbers in told.items()},
            )


def _numbers(values: np.ndarray) -> list[float | None]:
    """As the database keeps them."""
    return [value if np.isfinite(value) else None for value in single(values).tolist()]
