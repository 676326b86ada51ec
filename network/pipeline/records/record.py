"""The record of a station: a day, a month or a year put together from the summaries of its hours and days."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from network.models import Observation, Summary
from network.models.storage import Floats, read
from network.pipeline.ledger.blocks import DAY, HOUR
from network.quality.verdict import GOOD, MISSING
from network.science import climate
from network.science import evapotranspiration as fao
from network.science.climate import Told
from network.science.constants import ZERO_CELSIUS
from network.science.wind_rose import Rose, wind_rose
from stations.models import Station

FIELDS = ("mean", "low", "high", "total", "good", "reports")

BY_THE_HOUR = ("air_temperature", "wind_speed", "wind_from_direction", "rain_amount")
"""The variables of which a record counts hours."""

RECORDED = (
    "air_temperature",
    "relative_humidity",
    "sea_level_pressure",
    "wind_speed",
    "wind_from_direction",
    "wind_gust",
    "rain_amount",
    "irradiance",
)
"""The variables a record speaks of."""

NEEDED = ("air_temperature", "relative_humidity", "wind_speed", "irradiance")
"""What reference evapotranspiration is worked out from."""

USUAL_WIND_HEIGHT = 2.0
"""[m] Where nobody has said how high the wind is measured."""

Times = NDArray[np.int64]


@dataclass(frozen=True)
class Periods:
    """Summaries of consecutive periods; each array has shape (n,), NaN where nothing is known."""

    edges: Times  # (n + 1,) [UTC epoch s]
    columns: dict[tuple[str, str], Floats]  # (variable, field)

    def of(self, variable: str, field: str) -> Floats:
        return self.columns.get((variable, field), np.full(len(self.edges) - 1, np.nan))

    def measured(self, variable: str) -> bool:
        return (variable, "good") in self.columns


@dataclass(frozen=True)
class Extreme:
    """The lowest or highest reading of a span [canonical unit], and when it was."""

    value: float
    at: int  # [UTC epoch s]


@dataclass(frozen=True)
class Record:
    """One station over a span, from good readings only."""

    days: Periods
    hours: Periods
    mean: Told  # of the days' air temperature [K]
    lowest: Extreme | None
    highest: Extreme | None
    gust: Extreme | None
    rain: Told  # [mm] by the hour
    wet_days: Told
    frost_days: Told
    ice_days: Told
    frost_hours: Told
    growing: Told  # [K day]
    evapotranspiration: Told  # [mm]
    lacking: list[str]  # what would be needed for it and is not measured
    rose: Rose

    def rain_by_day(self) -> tuple[Floats, Floats]:
        """What fell in the hours of each day that are known [mm], and how many of its hours are missing."""
        return by_day(self.days.edges, self.hours)


def by_day(edges: Times, hours: Periods) -> tuple[Floats, Floats]:
    """Rain of the hours within each day, NaN of a day without any; and the hours missing."""
    amount = hours.of("rain_amount", "total")
    day = np.searchsorted(edges, hours.edges[:-1], side="right") - 1
    inside = (day >= 0) & (day < len(edges) - 1)
    known = inside & np.isfinite(amount)
    count = len(edges) - 1
    fell = np.bincount(day[known], amount[known], minlength=count)
    heard = np.bincount(day[known], minlength=count)
    due = np.bincount(day[inside], minlength=count)
    return np.where(heard > 0, fell, np.nan), (due - heard).astype(np.float64)


def periods(
    stations: Sequence[int], span: str, edges: Times, variables: Sequence[str] = RECORDED
) -> dict[int, Periods]:
    """The stations' summaries of the periods that begin at all but the last of the edges."""
    made = {station: Periods(edges, {}) for station in stations}
    if len(edges) < 2:
        return made
    found = Summary.objects.filter(
        station__in=stations,
        span=span,
        begins_at__gte=int(edges[0]),
        begins_at__lt=int(edges[-1]),
        variable__in=variables,
    ).order_by()
    rows = list(found.values_list("station_id", "variable", "begins_at", *FIELDS))
    if not rows:
        return made
    of_station, of_variable, begins, *figures = zip(*rows, strict=True)
    station, variable = np.array(of_station), np.array(of_variable)
    place = np.searchsorted(edges, np.array(begins))
    # In a zone of half hours an hour may begin where none of the edges is.
    fits = edges[place] == np.array(begins)
    values = np.array(figures, dtype=np.float64)
    for one in set(of_station):
        for name in set(of_variable):
            here = (station == one) & (variable == name) & fits
            if here.any():
                for field, row in zip(FIELDS, values, strict=True):
                    column = np.full(len(edges) - 1, np.nan)
                    column[place[here]] = row[here]
                    made[one].columns[name, field] = column
    return made


def hour_edges(begins_at: int, ends_at: int) -> Times:
    """The hours within a span [UTC epoch s], as summaries cut them."""
    first = -(-begins_at // HOUR) * HOUR
    return np.arange(first, max(ends_at // HOUR * HOUR, first) + 1, HOUR, dtype=np.int64)


def record(
    station: Station,
    days: Periods,
    hours: Periods,
    *,
    latitude: float,
    elevation: float,
    base: float,
    extremes: bool = True,
) -> Record:
    """Put a span together. ``latitude`` and ``elevation`` are for the sun and may be the village's; ``base`` in [K].

    Without ``extremes`` no reading is looked up for when they were.
    """
    low, high = days.of("air_temperature", "low"), days.of("air_temperature", "high")
    fell, gaps = by_day(days.edges, hours)
    evaporated, lacking = _evapotranspiration(station, days, latitude, elevation)
    warmth = hours.of("air_temperature", "mean")
    return Record(
        days=days,
        hours=hours,
        mean=climate.mean_of_days(days.of("air_temperature", "mean")),
        lowest=extreme(station.pk, days, "air_temperature", "low") if extremes else None,
        highest=extreme(station.pk, days, "air_temperature", "high") if extremes else None,
        gust=extreme(station.pk, days, "wind_gust", "high") if extremes else None,
        rain=climate.total(hours.of("rain_amount", "total")),
        wet_days=climate.wet_days(np.where((gaps > 0) & (fell < climate.WET), np.nan, fell)),
        frost_days=climate.frost_days(low),
        ice_days=climate.ice_days(high),
        frost_hours=climate.count_where(warmth, warmth < ZERO_CELSIUS),
        growing=climate.total(climate.growing_degree_days(low, high, base)),
        evapotranspiration=climate.total(evaporated),
        lacking=lacking,
        rose=wind_rose(hours.of("wind_speed", "mean"), hours.of("wind_from_direction", "mean")),
    )


def _evapotranspiration(
    station: Station, days: Periods, latitude: float, elevation: float
) -> tuple[Floats, list[str]]:
    """Each day's [mm], and the variables it lacks."""
    lacking = [name for name in NEEDED if not days.measured(name)]
    low, high = days.of("air_temperature", "low"), days.of("air_temperature", "high")
    vapour = fao.actual_vapour_pressure(
        low, high, days.of("relative_humidity", "low"), days.of("relative_humidity", "high")
    )
    wind = fao.at_two_metres(days.of("wind_speed", "mean"), wind_height(station))
    noon = days.edges[:-1] + DAY // 2
    day_of_year = (noon.astype("datetime64[s]") - noon.astype("datetime64[Y]").astype("datetime64[s]")) // (
        np.timedelta64(1, "D")
    ) + 1
    return fao.reference_evapotranspiration(
        low,
        high,
        vapour,
        wind,
        fao.MEGAJOULES * days.of("irradiance", "mean"),
        latitude=latitude,
        elevation=elevation,
        day_of_year=day_of_year,
    ), lacking


def wind_height(station: Station) -> float:
    """How high the station's newest anemometer stands [m]; the usual where nobody has said."""
    said = [one.height for one in station.instruments.all() if one.variable == "wind_speed" and one.height]
    return said[-1] if said else USUAL_WIND_HEIGHT


def extreme(station: int, periods: Periods, variable: str, field: str) -> Extreme | None:
    """The lowest or highest of the periods, looked up among the good readings of its period for its time."""
    values = periods.of(variable, field)
    if not np.isfinite(values).any():
        return None
    find = np.nanargmin if field == "low" else np.nanargmax
    i = int(find(values))
    begins, ends = int(periods.edges[i]), int(periods.edges[i + 1])
    rows = read(Observation, [station], begins + 1, ends + 1, (variable, f"{variable}_mark"))
    mark = np.nan_to_num(rows.columns[f"{variable}_mark"], nan=MISSING).astype(np.int64)
    readings = np.where(mark & 7 == GOOD, rows.columns[variable], np.nan)
    if not np.isfinite(readings).any():
        return None
    i = int(find(readings))
    return Extreme(float(readings[i]), int(rows.at[i]))
