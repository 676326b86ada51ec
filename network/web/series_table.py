"""The table behind a picture: a series gathered into hours, days or months."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from network.science.variables import VARIABLES
from network.web.quantities import compass, decimals_of, written
from network.web.series import Series

HEADS = {"sum": ("fell", "", ""), "maximum": ("", "", "highest"), "direction": ("last from", "", "")}
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
    heads = HEADS.get(variable.summary, ("lowest", "mean", "highest"))
    local = [datetime.fromtimestamp(at - 1, zone) for at in series.seconds.tolist()]
    groups: dict[str, list[int]] = {}
    for i, moment in enumerate(local):
        groups.setdefault(_name(moment, period), []).append(i)
    rows = [
        Row(name, _figures(series, np.array(places)), _good(series, places))
        for name, places in groups.items()
    ]
    return Table(period, [head for head in heads if head], rows)


def _name(moment: datetime, period: str) -> str:
    if period == "hour":
        return f"{moment.hour:02}:00 to {(moment.hour + 1):02}:00"
    return f"{moment:%a} {moment.day} {moment:%b}" if period == "day" else f"{moment:%B %Y}"


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
    return "all good" if good == reports else f"{good:.0f} of {reports:.0f} good"
