"""The parts of a span as a table, and the labels under its picture."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
from django.utils import dateformat
from django.utils.translation import gettext as _

from network.pipeline.records.parts import Parts
from network.web.quantities import at_least, by_format, figure, hour, unit_sign
from network.web.record.span import Span

COLUMNS = (
    ("mean", "air_temperature"),
    ("low", "air_temperature"),
    ("high", "air_temperature"),
    ("rain", "rain_amount"),
    ("wind", "wind_speed"),
    ("gust", "wind_gust"),
)


@dataclass(frozen=True)
class Row:
    """One part: its name, the end of its own page's address, its figures, on how many readings they stand."""

    name: str
    path: str
    figures: list[str]
    good: str


@dataclass(frozen=True)
class Table:
    """Heads (words and unit) and rows."""

    part: str
    heads: list[tuple[str, str]]
    rows: list[Row]


def table(span: Span, parts: Parts) -> Table:
    """A row for each part, in order; a total of which hours are missing says so."""
    words = {
        "mean": _("mean"), "low": _("lowest"), "high": _("highest"), "rain": _("rain"),
        "wind": _("wind"), "gust": _("strongest gust"),
    }  # fmt: skip
    kept = [(field, name) for field, name in COLUMNS if np.isfinite(getattr(parts, field)).any()]
    return Table(
        part={"day": _("hour"), "month": _("day"), "year": _("month")}[span.kind],
        heads=[(words[field], unit_sign(name)) for field, name in kept],
        rows=[_row(span, parts, i, kept) for i in range(len(parts))],
    )


def labels(span: Span, parts: Parts) -> list[tuple[int, str]]:
    """What stands under which part: each sixth hour, some days, every month."""
    begun = [_local(at, span.zone) for at in parts.edges[:-1].tolist()]
    if span.kind == "day":
        return [(i, hour(at)) for i, at in enumerate(begun) if at.hour % 6 == 0]
    if span.kind == "year":
        return [(i, dateformat.format(at, "M")[:3]) for i, at in enumerate(begun)]
    return [(i, str(at.day)) for i, at in enumerate(begun) if at.day == 1 or at.day % 5 == 0]


def places(span: Span) -> int:
    """How many parts the whole span has, gone by or not."""
    if span.kind == "day":
        return round((span.ends_at - span.begins_at) / 3600)
    return 12 if span.kind == "year" else (span.next_first - span.first).days


def _row(span: Span, parts: Parts, i: int, kept: list[tuple[str, str]]) -> Row:
    at = _local(int(parts.edges[i]), span.zone)
    figures = [_figure(parts, field, name, i) for field, name in kept]
    good, reports = parts.good[i], parts.reports[i]
    return Row(_name(span, at), _path(span, at), figures, _readings(good, reports))


def _figure(parts: Parts, field: str, name: str, i: int) -> str:
    value = float(getattr(parts, field)[i])
    if np.isnan(value):
        return "–"
    return at_least(figure(name, value), not (field == "rain" and parts.rain_missing[i] > 0))


def _readings(good: float, reports: float) -> str:
    if np.isnan(reports) or not reports:
        return _("none")
    if good == reports:
        return _("{count}, all good").format(count=f"{reports:.0f}")
    return _("{good} of {reports} good").format(good=f"{good:.0f}", reports=f"{reports:.0f}")


def _name(span: Span, at: datetime) -> str:
    if span.kind == "day":
        return _("from {time}").format(time=hour(at))
    return by_format(at, "F" if span.kind == "year" else "D j")


def _path(span: Span, at: datetime) -> str:
    if span.kind == "day":
        return ""
    return f"{at.year}/{at.month}/" if span.kind == "year" else f"{at.year}/{at.month}/{at.day}/"


def _local(at: int, zone: ZoneInfo) -> datetime:
    return datetime.fromtimestamp(at, zone)
