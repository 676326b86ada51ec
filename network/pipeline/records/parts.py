"""What a span falls into: a day into hours, a month into days, a year into months; and the village's mean of them."""

import warnings
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from network.models.storage import Floats
from network.pipeline.records.record import Periods, Times, by_day
from network.science import climate

QUORUM = 0.5
"""[1] Of the stations that measure in a span, so many must speak for a part to have a village mean (our choice)."""


@dataclass(frozen=True)
class Parts:
    """Consecutive parts of a span; arrays of shape (n,) in canonical units, NaN where not known."""

    edges: Times  # (n + 1,)
    mean: Floats  # of the air temperature
    low: Floats
    high: Floats
    rain: Floats
    rain_missing: Floats  # hours of it
    wind: Floats
    gust: Floats
    good: Floats  # readings of the air temperature
    reports: Floats

    def __len__(self) -> int:
        return len(self.edges) - 1


def of_hours(hours: Periods) -> Parts:
    """The hours themselves."""
    rain = hours.of("rain_amount", "total")
    return _parts(hours, rain, np.isnan(rain).astype(np.float64))


def of_days(days: Periods, hours: Periods) -> Parts:
    """The days, with the rain of their hours."""
    return _parts(days, *by_day(days.edges, hours))


def of_months(days: Periods, hours: Periods, edges: Times) -> Parts:
    """The months between the edges."""
    return months(of_days(days, hours), edges)


def months(by_days: Parts, edges: Times) -> Parts:
    """Months of a station's days or of a village's; a month's mean only where it may stand for it."""
    month = np.searchsorted(edges, by_days.edges[:-1], side="right") - 1
    made: dict[str, list[float]] = {field.name: [] for field in fields(Parts)[1:]}
    for i in range(len(edges) - 1):
        here = month == i
        for name in ("mean", "wind"):
            told = climate.mean_of_days(getattr(by_days, name)[here])
            made[name].append(told.value if told.stands else np.nan)
        for name, find in (("low", np.min), ("high", np.max), ("gust", np.max), ("rain", np.sum),
                           ("rain_missing", np.sum), ("good", np.sum), ("reports", np.sum)):  # fmt: skip
            values = getattr(by_days, name)[here]
            values = values[np.isfinite(values)]
            made[name].append(float(find(values)) if len(values) else np.nan)
    return Parts(edges, **{name: np.array(values) for name, values in made.items()})


def of_village(stations: Sequence[Parts], edges: Times) -> Parts:
    """One village from its stations: means over them, the extremes of any, the middle of the complete gauges."""
    rain = np.array([np.where(one.rain_missing > 0, np.nan, one.rain) for one in stations])
    count = len(edges) - 1

    def over(find: object, name: str, values: Floats | None = None) -> Floats:
        table = np.array([getattr(one, name) for one in stations]) if values is None else values
        if not len(table):
            return np.full(count, np.nan)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", RuntimeWarning)  # of a part nobody knows
            return np.asarray(find(table, axis=0))  # type: ignore[operator]

    return Parts(
        edges=edges,
        mean=_mean_of_enough(stations, "mean", count),
        low=over(np.nanmin, "low"),
        high=over(np.nanmax, "high"),
        rain=over(np.nanmedian, "rain", rain.reshape(len(stations), count)),
        rain_missing=np.zeros(count),
        wind=_mean_of_enough(stations, "wind", count),
        gust=over(np.nanmax, "gust"),
        good=over(np.nansum, "good"),
        reports=over(np.nansum, "reports"),
    )


def _mean_of_enough(stations: Sequence[Parts], name: str, count: int) -> Floats:
    table = np.array([getattr(one, name) for one in stations]).reshape(len(stations), count)
    known = np.isfinite(table)
    speaking = known.any(axis=1).sum()
    heard = known.sum(axis=0)
    mean = np.where(known, table, 0.0).sum(axis=0) / np.maximum(heard, 1)
    return np.where((heard > 0) & (heard >= QUORUM * speaking), mean, np.nan)


def _parts(periods: Periods, rain: Floats, missing: Floats) -> Parts:
    return Parts(
        edges=periods.edges,
        mean=periods.of("air_temperature", "mean"),
        low=periods.of("air_temperature", "low"),
        high=periods.of("air_temperature", "high"),
        rain=rain,
        rain_missing=missing,
        wind=periods.of("wind_speed", "mean"),
        gust=periods.of("wind_gust", "high"),
        good=periods.of("air_temperature", "good"),
        reports=periods.of("air_temperature", "reports"),
    )
