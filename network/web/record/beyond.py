"""The months before this one, with this one among them."""

from dataclasses import dataclass

import numpy as np

from network.models import Summary
from network.pipeline.records import parts as cut
from network.pipeline.records.record import Times, hour_edges, periods
from network.web.moment import beginning
from network.web.quantities import at_least, figure
from network.web.record.span import MONTHS, Span

VARIABLES = ("air_temperature", "rain_amount")


@dataclass(frozen=True)
class Earlier:
    """One month: mean and rain are '' where they are not known well enough."""

    span: Span
    chosen: bool
    mean: str
    low: str
    high: str
    rain: str


def earlier_months(station: int, span: Span) -> list[Earlier]:
    """A year of months up to this one, oldest first; empty on other pages, or where this one is the first."""
    if span.kind != "month":
        return []
    spans = [span]
    for _ in range(MONTHS):
        spans.insert(0, spans[0].before())
    edges = np.array([*(one.begins_at for one in spans), span.ends_at], dtype=np.int64)
    until = int(span.day_edges()[-1])
    days = periods([station], Summary.Span.DAY, _days(spans), VARIABLES)[station]
    hours = periods([station], Summary.Span.HOUR, hour_edges(int(edges[0]), until), VARIABLES[1:])[station]
    parts = cut.of_months(days, hours, edges)
    made = []
    for i, one in enumerate(spans):
        rain = float(parts.rain[i])
        if np.isfinite([parts.low[i], rain]).any():
            figures = (
                figure("air_temperature", float(values[i])) for values in (parts.mean, parts.low, parts.high)
            )
            made.append(
                Earlier(
                    one,
                    one is span,
                    *figures,
                    at_least(figure("rain_amount", rain), not parts.rain_missing[i] > 0)
                    if np.isfinite(rain)
                    else "",
                )
            )
    return made if len(made) > 1 else []


def _days(spans: list[Span]) -> Times:
    """Beginnings of all their days, and the end of the last."""
    zone = spans[0].zone
    days = [day for one in spans for day in one.days]
    ends = spans[-1].day_edges()[-1]
    return np.array([*(beginning(day, zone) for day in days), ends], dtype=np.int64)
