"""The table itself: a row for each station and hour, gathered from the hub's summaries a month at a time."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from network.models import Summary
from network.models.storage import Floats
from network.pipeline.ledger.blocks import DAY, HOUR
from network.pipeline.metadata.stretches import epoch
from network.pipeline.records.record import Periods, hour_edges, periods
from network.science.lookahead import fallen_after
from network.science.variables import VARIABLES
from network.web.quantities import in_usual_unit
from network.web.training.columns import AHEAD, LEFT_OUT, Column, columns
from stations.models import Station, Village

AT_ONCE = 31 * DAY
"""[s] So much is read at a time."""

FIELD = {"sum": "total", "maximum": "high"}
"""Which figure of a summary stands for its hour; the mean elsewhere."""


@dataclass(frozen=True)
class Part:
    """The hours of one station; arrays of shape (n,) in the unit of their column, NaN where nothing is known."""

    station: str
    ends_at: np.ndarray  # [UTC epoch s]
    figures: dict[str, Floats]


@dataclass(frozen=True)
class Training:
    """A village's hours within a span [UTC epoch s]."""

    village: Village
    begins_at: int
    ends_at: int

    @cached_property
    def stations(self) -> dict[int, Station]:
        """Those that everybody may read of."""
        public = Station.objects.of(self.village).public().order_by("name")
        return {station.pk: station for station in public}

    @cached_property
    def variables(self) -> list[str]:
        """What any of them measured meanwhile."""
        within = Summary.objects.filter(
            station__in=self.stations, span=Summary.Span.HOUR, begins_at__gte=self.begins_at, begins_at__lt=self.ends_at
        )  # fmt: skip
        found = set(within.order_by().values_list("variable", flat=True).distinct())
        return [name for name in VARIABLES if name in found - LEFT_OUT]

    @property
    def columns(self) -> list[Column]:
        return columns(self.variables)

    def parts(self) -> Iterator[Part]:
        """Month after month, in each the stations by their names; hours of which nothing was heard are left out."""
        for begins in range(self.begins_at, self.ends_at, AT_ONCE):
            ends = min(begins + AT_ONCE, self.ends_at)
            edges = hour_edges(begins, ends + max(AHEAD) * HOUR)
            found = periods(list(self.stations), Summary.Span.HOUR, edges, {*self.variables, "rain_amount"})
            count = len(edges) - 1 - max(AHEAD)
            targets = self._targets(found)
            for pk, station in self.stations.items():
                if count > 0:
                    yield self._part(station, found[pk], targets, count)

    def _targets(self, found: dict[int, Periods]) -> dict[str, Floats]:
        """The village's own, over its gauges."""
        rain = [_counting(self.stations[pk], each, _rain(each)) for pk, each in found.items()]
        made: dict[str, Floats] = {}
        for hours in AHEAD:
            fallen = np.array([_after(one, hours)[0] for one in rain])
            gauges = np.isfinite(fallen).sum(axis=0)
            middle = np.full(gauges.shape, np.nan)
            middle[gauges > 0] = np.nanmedian(fallen[:, gauges > 0], axis=0)
            made[f"village_rain_next_{hours}h"] = middle
            made[f"village_rain_next_{hours}h_gauges"] = gauges.astype(np.float64)
        return made

    def _part(self, station: Station, own: Periods, village: dict[str, Floats], count: int) -> Part:
        figures: dict[str, Floats] = {}
        for name in self.variables:
            field = FIELD.get(VARIABLES[name].summary, "mean")
            figures[name] = in_usual_unit(name, own.of(name, field))[:count]
            for tally in ("good", "reports"):
                figures[f"{name}_{tally}"] = np.nan_to_num(own.of(name, tally)[:count])
        for hours in AHEAD:
            fallen, known = _after(_counting(station, own, _rain(own)), hours)
            figures |= {f"rain_next_{hours}h": fallen, f"rain_next_{hours}h_known": known}
        figures |= village
        heard = sum((figures[f"{name}_reports"] for name in self.variables), np.zeros(count)) > 0
        heard &= _counts(station, own)[:count]
        ordered = {column.name: figures[column.name][heard] for column in self.columns[2:]}
        return Part(station.name, own.edges[1 : count + 1][heard], ordered)


def _rain(own: Periods) -> Floats:
    return own.of("rain_amount", "total")


def _after(totals: Floats, hours: int) -> tuple[Floats, Floats]:
    """As many as the longest look ahead leaves."""
    spare = max(AHEAD) - hours
    return fallen_after(totals[: len(totals) - spare], hours)


def _counts(station: Station, own: Periods) -> np.ndarray:
    """Whether each hour lies wholly in the station's time in the village's life."""
    ends = np.inf if station.counts_until is None else epoch(station.counts_until)
    return (own.edges[:-1] >= epoch(station.counts_from)) & (own.edges[1:] <= ends)


def _counting(station: Station, own: Periods, totals: Floats) -> Floats:
    return np.where(_counts(station, own), totals, np.nan)
