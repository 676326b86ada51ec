"""The table behind a picture: a series gathered into hours, days or months."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

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


def table(series: Series, span: str, zone: ZoneInfo) -> Table:
    """Hours of a day, days of a week or month, months of a year."""
    period = {"day": "hour", "week": "day", "month": "day", "year": "month"}[span]
    variable = VARIABLES[series.variable]
    heads = HEADS.get(variable.summary, (gettext_noop("lowest"), gettext_noop("mean"), "highest"))
    groups: dict[datetime, list[int]] = {}
    for i, at in enumerate(series.seconds.tolist()):
        groups.setdefault(_begin(datetime.fromtimestamp(at - 1, zone), period), []).append(i)
    rows = [
        Row(_name(begin, period), _figures(series, np.array(places)), _good(series, places))
        for begin, places in groups.items()
    ]
    return Table(_(period), [_(head) for head in heads if head], rows)


def _begin(moment: datetime, period: str) -> datetime:
    """When the period of a moment begins, by the clock on the wall: the hour that comes twice is one."""
    wall = datetime(moment.year, moment.month, 1 if period == "month" else moment.day)
    return wall.replace(hour=moment.hour) if period == "hour" else wall


def _name(begin: datetime, period: str) -> str:
    if period == "hour":
        ends = "24:00" if begin.hour == 23 and reader().clock == "24" else hour(begin + timedelta(hours=1))
        return _("{begins} to {ends}").format(begins=hour(begin), ends=ends)
    return by_format(begin, "D j M" if period == "day" else "F Y")


def _figures(series: Series, places: np.ndarray) -> list[str]:
    variable = VARIABLES[series.variable]
    values = series.values[places][np.isfinite(series.values[places])]
    if series.grain == "readings":
        believed = series.verdict[places] != 3
        low, high, values = (column[places][believed] for column in (series.low, series.high, series.values))
    else:
        low, high = (column[places][np.isfinite(column[places])] for column in (series.low, series.high))

    def say(figures: np.ndarray, which: str) -> str:
        return (
            written(float(getattr(figures, which)()), decimals_of(series.variable)) if len(figures) else "–"
        )

    if variable.summary == "sum":
        return [say(values, "sum")]
    if variable.summary == "maximum":
        return [say(high, "max")]
    if variable.summary == "direction":
        return [f"{compass(float(values[-1]))}, {written(float(values[-1]), 0)}°" if len(values) else "–"]
    return [say(low, "min"), say(values, "mean"), say(high, "max")]


def _good(series: Series, places: list[int]) -> str:
    good, reports = series.good[places].sum(), series.reports[places].sum()
    if good == reports:
        return _("all good")
    return _("{good} of {reports} good").format(good=round(good), reports=round(reports))
