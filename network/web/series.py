"""A variable of a station over a span, with its neighbours: readings for a day, summaries for longer."""

from dataclasses import dataclass

import numpy as np

from network.models import Observation, Summary
from network.models.hours import FIGURE, Points, read_points
from network.models.storage import Floats, Rows, read
from network.pipeline.ledger import blocks
from network.quality.verdict import GOOD, MISSING, UNCHECKED
from network.science.variables import VARIABLES
from network.web.quantities import in_shown_unit

GRAIN = {"day": "readings", "week": "hours", "month": "days", "year": "days"}
"""What one point of a chart stands for."""

ALONE = frozenset({"station_pressure", "battery_voltage", "light_level"})
"""Variables that neighbours do not share: another height, another battery, another scale."""

NEIGHBOUR_STEP = 15 * blocks.MINUTE
"""[s] Neighbours are drawn thinned to this: they are a ground to see the station against."""


@dataclass(frozen=True)
class Line:
    """Points of one station, values in the shown unit; NaN where there is none."""

    seconds: np.ndarray  # ends of readings, middles of summaries [UTC epoch s]
    values: Floats
    name: str = ""


@dataclass(frozen=True)
class Series:
    """One variable over one span, in the shown unit. Arrays of the station have shape (n,)."""

    variable: str
    grain: str
    begins_at: int
    ends_at: int
    seconds: np.ndarray
    values: Floats  # a reading, a mean, or what fell in the period
    low: Floats
    high: Floats
    verdict: np.ndarray  # of a summary: GOOD where it has a mean, UNCHECKED never
    good: Floats  # good readings behind the point
    reports: Floats  # readings of any verdict
    marks: np.ndarray  # of readings only; 0 elsewhere
    every: int  # [s] between points
    neighbours: list[Line]

    def __len__(self) -> int:
        return len(self.seconds)


def series_of(
    station: int,
    report_every: int,
    others: dict[int, str],
    variables: list[str],
    span: tuple[int, int],
    grain: str,
) -> list[Series]:
    """The series of each variable; ``others`` are the neighbours' keys and names."""
    if grain == "readings":
        return _readings(station, report_every, others, variables, span)
    return _summaries(station, others, variables, span, grain)


def _readings(
    station: int, report_every: int, others: dict[int, str], variables: list[str], span: tuple[int, int]
) -> list[Series]:
    columns = (*variables, *(f"{name}_mark" for name in variables))
    rows = read(Observation, [station, *others], span[0] + 1, span[1] + 1, columns)
    own = rows.of(station)
    made = []
    for name in variables:
        marks = np.nan_to_num(own.columns[f"{name}_mark"], nan=MISSING).astype(np.int64)
        values = in_shown_unit(name, own.columns[name])
        there = np.isfinite(values)
        verdict = (marks & 7)[there]
        beside = {} if name in ALONE else others
        if VARIABLES[name].summary == "sum":
            made.append(_amounts(name, own.at[there], values[there], verdict, span, beside, rows))
            continue
        at, values = own.at[there], values[there]
        lines = [_thinned(rows.of(key), name, other) for key, other in beside.items()]
        made.append(
            Series(name, "readings", *span, at, values, values, values, verdict, (verdict == GOOD).astype(float),
                   np.ones(len(at)), marks[there], report_every, [line for line in lines if len(line.seconds)])
        )  # fmt: skip
    return made


def _amounts(
    name: str, at: np.ndarray, values: Floats, verdict: np.ndarray, span: tuple[int, int], others: dict[int, str],
    rows: Rows,
) -> Series:  # fmt: skip
    """Amounts of a day, hour by hour: a tip of the bucket says little by itself."""
    edges = np.arange(span[0], span[1] + 1, blocks.HOUR)
    count = len(edges) - 1
    hour = np.searchsorted(edges, at, side="left") - 1
    good = np.bincount(hour[verdict == GOOD], minlength=count).astype(float)
    reports = np.bincount(hour, minlength=count).astype(float)
    total = np.bincount(hour, np.where(verdict == GOOD, values, 0.0), minlength=count)
    heard = reports > 0
    worst = np.zeros(count, np.int64)
    np.maximum.at(worst, hour, np.where(verdict == UNCHECKED, 1, verdict))
    worst = np.where(worst == 1, UNCHECKED, worst)
    lines = [_hourly(rows.of(key), name, other, edges) for key, other in others.items()]
    middle = edges[:-1] + blocks.HOUR // 2
    return Series(name, "hours", *span, middle[heard], total[heard], total[heard], total[heard], worst[heard],
                  good[heard], reports[heard], np.zeros(int(heard.sum()), np.int64), blocks.HOUR,
                  [line for line in lines if len(line.seconds)])  # fmt: skip


def _good(rows: Rows, name: str) -> tuple[np.ndarray, Floats]:
    marks = np.nan_to_num(rows.columns[f"{name}_mark"], nan=MISSING).astype(np.int64)
    good = np.isfinite(rows.columns[name]) & ((marks & 7) == GOOD)
    return rows.at[good], in_shown_unit(name, rows.columns[name][good])


def _thinned(rows: Rows, name: str, other: str) -> Line:
    """The last good reading of each step; a mean would turn north winds south."""
    at, values = _good(rows, name)
    last = np.flatnonzero(np.diff(at // NEIGHBOUR_STEP, append=-1))
    return Line(at[last], values[last], other)


def _hourly(rows: Rows, name: str, other: str, edges: np.ndarray) -> Line:
    at, values = _good(rows, name)
    hour = np.searchsorted(edges, at, side="left") - 1
    heard = np.bincount(hour, minlength=len(edges) - 1) > 0
    total = np.bincount(hour, values, minlength=len(edges) - 1)
    return Line((edges[:-1] + blocks.HOUR // 2)[heard], total[heard], other)


def _summaries(
    station: int, others: dict[int, str], variables: list[str], span: tuple[int, int], grain: str
) -> list[Series]:
    kind, every = (Summary.Span.HOUR, blocks.HOUR) if grain == "hours" else (Summary.Span.DAY, blocks.DAY)
    found = Summary.objects.filter(
        span=kind, begins_at__gte=span[0], begins_at__lt=span[1], variable__in=variables
    ).order_by("begins_at")
    rows: dict[str, list[list[float | None]]] = {}
    for name, *figures in found.filter(station=station).values_list(
        "variable", "begins_at", "mean", "low", "high", "total", "good", "reports"
    ):
        rows.setdefault(name, []).append(figures)
    shared = [name for name in variables if name not in ALONE]
    points = read_points(list(others), shared, kind, *span)
    return [
        _summary(name, rows.get(name, []), _beside(points, others, name, every), span, grain, every)
        for name in variables
    ]


def _beside(
    points: dict[tuple[int, str], Points], others: dict[int, str], name: str, every: int
) -> list[Line]:
    """The neighbours' lines, in their order."""
    return [
        Line(points[key, name][0] + every // 2, in_shown_unit(name, points[key, name][1]), other)
        for key, other in others.items()
        if (key, name) in points
    ]


def _summary(
    name: str,
    rows: list[list[float | None]],
    lines: list[Line],
    span: tuple[int, int],
    grain: str,
    every: int,
) -> Series:
    at, mean, low, high, total, good, reports = np.array(rows, dtype=np.float64).reshape(-1, 7).T
    drawn = {"mean": mean, "high": high, "total": total}[FIGURE.get(VARIABLES[name].summary, "mean")]
    low, high, values = (in_shown_unit(name, column) for column in (low, high, drawn))
    # Too few good readings for a mean: something there was doubted, and a chart must not hide it.
    verdict = np.where(np.isfinite(values), GOOD, 2)
    return Series(name, grain, *span, at.astype(np.int64) + every // 2, values, low, high, verdict,
                  good, reports, np.zeros(len(at), np.int64), every, lines)  # fmt: skip
