"""The table behind a picture: a series gathered into hours, days or months."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from network.quality.verdict import WRONG
from network.science.variables import VARIABLES
from network.web.quantities import by_format, compass, decimals_of, hour, written
from network.web.reader import reader
from network.web.series import Series

HEADS = {
    "sum": (gettext_noop("fell"), "", ""),
    "maximum": ("", "", gettext_noop("highest")),
    "direction": (gettext_noop("last from"), "", ""),
}
"""Heads of the three figures by the kind of summary; lowest, mean and highest elsewhere."""


@dataclass(frozen=True)
class Row:
    """One period."""

    period: str
    figures: list[str]
    good: str


@dataclass(frozen=True)
class Table:
    """Heads and rows."""

    period: str
    heads: list[str]
    rows: list[Row]


class Periods:
    """Hours of a day, days of a week or month, months of a year: each is told once for all tables of a page."""

    def __init__(self, span: str, zone: ZoneInfo) -> None:
        self.kind = {"day": "hour", "week": "day", "month": "day", "year": "month"}[span]
        self._zone = zone
        self._of: dict[int, datetime] = {}
        self._named: dict[datetime, str] = {}

    def of(self, seconds: int) -> datetime:
        """When the period of a moment begins, by the clock on the wall: the hour that comes twice is one."""
        if seconds not in self._of:
            moment = datetime.fromtimestamp(seconds - 1, self._zone)
            wall = datetime(moment.year, moment.month, 1 if self.kind == "month" else moment.day)
            self._of[seconds] = wall.replace(hour=moment.hour) if self.kind == "hour" else wall
        return self._of[seconds]

    def name(self, begin: datetime) -> str:
        if begin not in self._named:
            self._named[begin] = _name(begin, self.kind)
        return self._named[begin]


def table(series: Series, periods: Periods) -> Table:
    """A row for each period in which there is something."""
    heads = HEADS.get(
        VARIABLES[series.variable].summary, (gettext_noop("lowest"), gettext_noop("mean"), "highest")
    )
    begins = [periods.of(at) for at in series.seconds.tolist()]
    first = [i for i, begin in enumerate(begins) if i == 0 or begin != begins[i - 1]]
    told = zip(_figures(series, first), _good(series, first), strict=True) if first else ()
    rows = [Row(periods.name(begins[i]), *row) for i, row in zip(first, told, strict=True)]
    return Table(_(periods.kind), [_(head) for head in heads if head], rows)


def _name(begin: datetime, period: str) -> str:
    if period == "hour":
        ends = "24:00" if begin.hour == 23 and reader().clock == "24" else hour(begin + timedelta(hours=1))
        return _("{begins} to {ends}").format(begins=hour(begin), ends=ends)
    return by_format(begin, "D j M" if period == "day" else "F Y")


def _figures(series: Series, first: list[int]) -> list[list[str]]:
    """The figures of each row, whose points begin at ``first``; '–' where there is none."""
    kind = VARIABLES[series.variable].summary
    believed = series.verdict != WRONG if series.grain == "readings" else True
    low, high, values = (np.where(believed, one, np.nan) for one in (series.low, series.high, series.values))
    known = np.isfinite(values)
    if kind == "direction":
        last = np.maximum.reduceat(np.where(known, np.arange(len(values)), -1), first)
        return [[_from(float(values[i])) if i >= 0 else "–"] for i in last.tolist()]
    counted = np.add.reduceat(known.astype(int), first)
    total = np.where(counted > 0, np.add.reduceat(np.where(known, values, 0.0), first), np.nan)
    if kind == "sum":
        columns = [total]
    elif kind == "maximum":
        columns = [np.fmax.reduceat(high, first)]
    else:
        columns = [
            np.fmin.reduceat(low, first),
            total / np.maximum(counted, 1),
            np.fmax.reduceat(high, first),
        ]
    decimals = decimals_of(series.variable)
    told = [[written(one, decimals) if one == one else "–" for one in column.tolist()] for column in columns]
    return [list(row) for row in zip(*told, strict=True)]


def _from(direction: float) -> str:
    return f"{compass(direction)}, {written(direction, 0)}°"


def _good(series: Series, first: list[int]) -> list[str]:
    good, reports = (np.add.reduceat(one, first).tolist() for one in (series.good, series.reports))
    all_good, some = _("all good"), _("{good} of {reports} good")
    return [
        all_good if one == of else some.format(good=round(one), reports=round(of))
        for one, of in zip(good, reports, strict=True)
    ]
