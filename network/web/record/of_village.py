"""The village's record: the mean over its stations, the ends of any, and every station beside the others."""

from dataclasses import dataclass
from datetime import datetime
from time import time

import numpy as np
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from network.pipeline.records import parts as cut
from network.pipeline.records.parts import Parts
from network.pipeline.records.record import Periods, extreme
from network.science import climate
from network.science.climate import Told
from network.science.constants import ZERO_CELSIUS
from network.web.quantities import at_least, figure, unit_sign
from network.web.record import gathered
from network.web.record.gathered import Summaries
from network.web.record.picture import Picture, picture
from network.web.record.sentences import Known, Peak, sentences
from network.web.record.span import Span
from network.web.record.table import Table, labels, places, table
from stations.models import Station, Village

DAILY = ("air_temperature", "wind_gust", "wind_speed")


@dataclass(frozen=True)
class Line:
    """One station of the village."""

    station: Station
    mean: str
    low: str
    high: str
    rain: str
    frost: str
    known: str  # days or hours


@dataclass(frozen=True)
class VillageRecord:
    """Everything network/record.html may show of a village."""

    village: Village
    span: Span
    sentences: list[str]
    picture: Picture | None
    table: Table
    lines: list[Line]
    units: tuple[str, str]  # of temperature and rain
    station: None = None


@require_safe
def newest(request: HttpRequest, village: str) -> HttpResponseRedirect:
    """To the month that is running."""
    found = get_object_or_404(Village, slug=village)
    today = datetime.fromtimestamp(time(), found.clock)
    return redirect("village-record", village, today.year, today.month)


@require_safe
@gzip_page
def village(
    request: HttpRequest, village: str, year: int, month: int | None = None, day: int | None = None
) -> HttpResponse:
    """The page."""
    found = get_object_or_404(Village, slug=village)
    span = Span.of(found.clock, time(), year, month, day)
    with timezone.override(span.zone):
        return render(request, "network/record.html", {"page": _page(found, span)})


def _page(village: Village, span: Span) -> VillageRecord:
    stations = {station.pk: station for station in gathered.public(village)}
    read = gathered.summaries(list(stations), span, DAILY, ("rain_amount",))
    read = {pk: pair for pk, pair in read.items() if pair[0].columns or pair[1].columns}
    daily = _daily(span, read)
    parts = cut.months(daily, span.month_edges()) if span.kind == "year" else daily
    return VillageRecord(
        village=village,
        span=span,
        sentences=sentences(_known(span, stations, read, daily)),
        picture=picture(parts, places(span), labels(span, parts), None),
        table=table(span, parts),
        lines=[_line(stations[pk], span, *pair) for pk, pair in read.items()],
        units=(unit_sign("air_temperature"), unit_sign("rain_amount")),
    )


def _known(span: Span, stations: dict[int, Station], read: Summaries, daily: Parts) -> Known:
    """What the village's sentences are made from."""
    means = [told.value for told in (_mean(span, *pair) for pair in read.values()) if told.stands]
    gauges = [
        climate.total(hours.of("rain_amount", "total"))
        for _, hours in read.values()
        if hours.measured("rain_amount")
    ]
    whole = [told.value for told in gauges if told.stands]
    best = max(gauges, key=lambda told: (told.known, told.value), default=climate.total([]))
    wettest = max(gauges, key=lambda told: np.nan_to_num(told.value, nan=-1.0), default=best)
    low, high = (_peak(span, stations, read, field) for field in ("low", "high"))
    lows = daily.low if span.kind != "day" else np.empty(0)
    return Known(
        span=span.name,
        kind=span.kind,
        running=span.running,
        mean=(climate.mean_of_hours if span.kind == "day" else climate.mean_of_days)(daily.mean),
        # A gauge that was wet is never told away by one that is better known.
        rain=wettest if whole and max(whole) < wettest.value else best,
        wet_days=climate.wet_days(daily.rain) if span.kind != "day" else climate.total([]),
        frost_days=climate.frost_days(lows),
        frost_hours=climate.count_where(daily.mean, daily.mean < ZERO_CELSIUS),
        lowest=low,
        highest=high,
        before=_before(list(read), span),
        spread=max(means) - min(means) if means else 0.0,
        gauges=(min(whole), max(whole)) if whole and max(whole) >= wettest.value else None,
    )


def _daily(span: Span, read: Summaries) -> Parts:
    """The village by the day; a day by the hour."""
    cuts = [
        cut.of_hours(hours) if span.kind == "day" else cut.of_days(days, hours)
        for days, hours in read.values()
    ]
    return cut.of_village(cuts, span.hour_edges() if span.kind == "day" else span.day_edges())


def _before(stations: list[int], span: Span) -> tuple[str, float] | None:
    """The span before and the village's mean of it, where it may stand for it."""
    before = span.before()
    read = gathered.summaries(stations, before, ("air_temperature",), ())
    told = climate.mean_of_days(
        cut.of_village([cut.of_days(*pair) for pair in read.values()], before.day_edges()).mean
    )
    return (before.name, told.value) if told.stands else None


def _mean(span: Span, days: Periods, hours: Periods) -> Told:
    if span.kind == "day":
        return climate.mean_of_hours(hours.of("air_temperature", "mean"))
    return climate.mean_of_days(days.of("air_temperature", "mean"))


def _peak(span: Span, stations: dict[int, Station], read: Summaries, field: str) -> Peak | None:
    """The lowest or highest temperature of any station."""
    ends = {pk: hours if span.kind == "day" else days for pk, (days, hours) in read.items()}
    found = {pk: _end(one, field) for pk, one in ends.items()}
    found = {pk: value for pk, value in found.items() if np.isfinite(value)}
    if not found:
        return None
    pk = (min if field == "low" else max)(found, key=found.__getitem__)
    return gathered.peak(extreme(pk, ends[pk], "air_temperature", field), span, stations[pk].name)


def _end(periods: Periods, field: str) -> float:
    """The lowest or highest of the periods [K]; NaN of none."""
    values = periods.of("air_temperature", field)
    values = values[np.isfinite(values)]
    return float(values.min() if field == "low" else values.max()) if len(values) else np.nan


def _line(station: Station, span: Span, days: Periods, hours: Periods) -> Line:
    mean, rain = _mean(span, days, hours), climate.total(hours.of("rain_amount", "total"))
    ends = hours if span.kind == "day" else days
    frost = climate.frost_days(days.of("air_temperature", "low"))
    return Line(
        station=station,
        mean=figure("air_temperature", mean.value) if mean.stands else "",
        low=figure("air_temperature", _end(ends, "low")),
        high=figure("air_temperature", _end(ends, "high")),
        rain=at_least(figure("rain_amount", rain.value), rain.stands) if rain.known else "",
        frost=_frost(frost) if span.kind != "day" else "",
        known=f"{mean.known} / {mean.due}",
    )


def _frost(told: Told) -> str:
    """How many days it froze; '' where none is known to have and some are not known."""
    if not told.known or (not told.value and not told.stands):
        return ""
    return at_least(f"{told.value:.0f}", told.stands)
