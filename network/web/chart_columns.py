"""Any span of a variable in as many columns as a picture has room for: lowest, mean and highest of each, and its doubts."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np

from network.models import Observation
from network.models.columns import cut
from network.models.storage import Floats, read
from network.pipeline.ledger.blocks import DAY
from network.quality.verdict import DOUBTFUL, GOOD, MISSING, UNCHECKED, WRONG
from network.science.summary import summarise
from network.science.variables import VARIABLES
from network.web.moment import clock_changes
from network.web.quantities import in_shown_unit
from network.web.series import Series

BELIEVED = (GOOD, UNCHECKED)

MOST = {"sum": 400}
"""Columns of a picture: rain stands in bars, which need some width."""

ROOM = 1000

WIDTHS = (300, 600, 900, 1800, 3600, 7200, 10800, 86400, 432000, 864000)
"""[s] A column is one of these wide. None is a quarter or a half of a day: the line would only swing to and fro."""


@dataclass(frozen=True)
class Columns:
    """A span cut into columns; arrays of shape (n,), in the reader's unit, NaN where nothing good was read."""

    variable: str
    begins_at: int
    ends_at: int
    width: int  # [s], by the village's clock
    edges: np.ndarray  # (n + 1,) [UTC epoch s]
    mean: Floats  # what fell in it, of rain
    low: Floats
    high: Floats
    good: Floats  # readings
    doubtful: Floats
    wrong: Floats

    @property
    def middles(self) -> np.ndarray:
        return (self.edges[:-1] + self.edges[1:]) // 2

    def as_series(self) -> Series:
        """As the pictures and tables of a series want it: the columns in which anything was read."""
        heard = self.good + self.doubtful + self.wrong > 0
        value = self.high if VARIABLES[self.variable].summary == "maximum" else self.mean
        verdict = np.where(self.good > 0, GOOD, np.where(self.wrong > 0, WRONG, DOUBTFUL))
        return Series(
            self.variable, "columns", self.begins_at, self.ends_at, self.middles[heard], value[heard],
            self.low[heard], self.high[heard], verdict[heard], self.good[heard],
            (self.good + self.doubtful + self.wrong)[heard], np.zeros(int(heard.sum()), np.int64), self.width, [],
        )  # fmt: skip


def columns(station: int, report_every: int, variable: str, span: tuple[int, int], zone: ZoneInfo) -> Columns:
    """Cut a span [UTC epoch s] of a station; what was doubted is counted and left out.

    Columns of days reach from one midnight of the zone to another, also where its clock changes.
    """
    begins_at, ends_at = span
    kind = VARIABLES[variable].summary
    most = MOST.get(kind, ROOM)
    width = next((w for w in WIDTHS if w >= report_every and (ends_at - begins_at) / w <= most), WIDTHS[-1])
    changes = clock_changes(begins_at, ends_at, zone) if width >= DAY else []
    count = -(-(ends_at + (changes[-1][1] if changes else 0) - begins_at) // width)
    edges = _edges(begins_at, width, count, changes)
    found = cut(station, variable, begins_at, width, count, BELIEVED, (DOUBTFUL, WRONG), changes)
    if kind == "direction":
        value = _directions(station, variable, span, edges)
    else:
        value = found.total if kind == "sum" else found.mean
    low, high = (value, value) if kind in ("sum", "direction") else (found.low, found.high)
    return Columns(
        variable=variable,
        begins_at=begins_at,
        ends_at=ends_at,
        width=width,
        edges=edges,
        mean=in_shown_unit(variable, value),
        low=in_shown_unit(variable, low),
        high=in_shown_unit(variable, high),
        good=sum((found.counted[one] for one in BELIEVED), np.zeros(count)),
        doubtful=found.counted[DOUBTFUL],
        wrong=found.counted[WRONG],
    )


def _edges(begins_at: int, width: int, count: int, changes: list[tuple[int, int]]) -> np.ndarray:
    """Where the columns begin and end [UTC epoch s]."""
    even = begins_at + width * np.arange(count + 1)
    edges = even
    for after, ahead in changes:
        edges = np.where(even - ahead > after, even - ahead, edges)
    return edges


def _directions(station: int, variable: str, span: tuple[int, int], edges: np.ndarray) -> Floats:
    """The mean on the circle, which no database knows."""
    rows = read(Observation, [station], span[0] + 1, span[1] + 1, (variable, f"{variable}_mark"))
    verdict = np.nan_to_num(rows.columns[f"{variable}_mark"], nan=MISSING).astype(np.int64) & 7
    values = np.where(np.isin(verdict, BELIEVED), rows.columns[variable], np.nan)
    column = np.searchsorted(edges, rows.at, side="left") - 1
    return summarise(values, column, "direction", due=np.zeros(len(edges) - 1))["mean"]
