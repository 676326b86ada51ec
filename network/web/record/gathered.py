"""What a record's pages are made of: the stations' summaries of a span, read once and put together."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np

from network.models import Summary
from network.models.storage import Floats
from network.pipeline.records import parts as cut
from network.pipeline.records.parts import Parts
from network.pipeline.records.record import (
    BY_THE_HOUR,
    RECORDED,
    Extreme,
    Periods,
    Record,
    extreme,
    periods,
    record,
)
from network.science import climate
from network.science.constants import ZERO_CELSIUS
from network.web.record.sentences import Known, Peak
from network.web.record.span import Span
from stations.models import Station, Village

BASES = (0, 5, 10)
"""[°C] Above which degree days may be counted: cold-hardy crops, grass and cereals, maize and vines (common practice)."""

Summaries = dict[int, tuple[Periods, Periods]]
"""Days and hours by station."""


def summaries(
    stations: list[int], span: Span, of_days: Sequence[str] = RECORDED, of_hours: Sequence[str] = BY_THE_HOUR
) -> Summaries:
    """The days and hours of a span; of a single day the hours of both lists, for they are its parts."""
    days = periods(stations, Summary.Span.DAY, span.day_edges(), of_days)
    hourly = {*of_days, *of_hours} if span.kind == "day" else of_hours
    hours = periods(stations, Summary.Span.HOUR, span.hour_edges(), sorted(hourly)) if hourly else {}
    return {pk: (days[pk], hours.get(pk, Periods(span.hour_edges(), {}))) for pk in stations}


def parts_of(span: Span, days: Periods, hours: Periods) -> Parts:
    """A day in hours, a month in days, a year in months."""
    if span.kind == "day":
        return cut.of_hours(hours)
    return (
        cut.of_days(days, hours) if span.kind == "month" else cut.of_months(days, hours, span.month_edges())
    )


def station_record(station: Station, span: Span, days: Periods, hours: Periods, base: int) -> Record:
    """The figures of one station; of a day they stand on its hours."""
    placement = list(station.placements.all())[-1:]
    made = record(
        station,
        days,
        hours,
        latitude=station.village.centre[0],
        # To the hundred metres: enough for the air's pressure, and gives nobody's place away.
        elevation=round(placement[0].elevation, -2) if placement else 0.0,
        base=base + ZERO_CELSIUS,
        extremes=span.kind != "day",
    )
    if span.kind != "day":
        return made
    return replace(
        made,
        mean=climate.mean_of_hours(hours.of("air_temperature", "mean")),
        lowest=extreme(station.pk, hours, "air_temperature", "low"),
        highest=extreme(station.pk, hours, "air_temperature", "high"),
        gust=extreme(station.pk, hours, "wind_gust", "high"),
    )


def mean_before(station: int, span: Span) -> tuple[str, float] | None:
    """The name of the span before and the station's mean of it, where it may stand for it."""
    before = span.before()
    days = periods([station], Summary.Span.DAY, before.day_edges(), ("air_temperature",))[station]
    told = climate.mean_of_days(days.of("air_temperature", "mean"))
    return (before.name, told.value) if told.stands else None


def beside_others(own: Floats, others: Parts, count: int) -> tuple[float, int] | None:
    """How much warmer the station was than the others in the parts that both know; None of too few."""
    both = np.isfinite(own) & np.isfinite(others.mean)
    if not both.any() or both.sum() < climate.SHARE_NEEDED * np.isfinite(own).sum():
        return None
    return float((own - others.mean)[both].mean()), count


def known_of(
    span: Span, made: Record, before: tuple[str, float] | None, others: tuple[float, int] | None
) -> Known:
    """What a station's sentences are made from."""
    return Known(
        span=span.name,
        kind=span.kind,
        running=span.running,
        mean=made.mean,
        rain=made.rain if made.hours.measured("rain_amount") else climate.total([]),
        wet_days=made.wet_days,
        frost_days=made.frost_days,
        frost_hours=made.frost_hours,
        lowest=peak(made.lowest, span),
        highest=peak(made.highest, span),
        before=before,
        others=others,
    )


def peak(found: Extreme | None, span: Span, where: str = "") -> Peak | None:
    """An extreme in the village's time."""
    return None if found is None else Peak(found.value, datetime.fromtimestamp(found.at, span.zone), where)


def public(village: Village) -> list[Station]:
    """The stations everybody may read of, with what a record asks of them."""
    return list(
        Station.objects.of(village).public().select_related("household__village").prefetch_related("placements", "instruments")
    )  # fmt: skip
