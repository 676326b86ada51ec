"""A station's record of a day, a month or a year."""

from dataclasses import dataclass
from datetime import datetime
from time import time

import numpy as np
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from network.pipeline.records import parts as cut
from network.pipeline.records.record import Record
from network.web.quantities import amount
from network.web.record import gathered
from network.web.record.beyond import Earlier, earlier_months
from network.web.record.growth import Growth, growth
from network.web.record.picture import Picture, picture
from network.web.record.rose import RosePicture, rose_picture
from network.web.record.sentences import Peak, sentences
from network.web.record.span import Span
from network.web.record.table import Table, labels, places, table
from stations.models import Station, Village

WARMTH = ("air_temperature",)
"""What the other stations are asked for."""


@dataclass(frozen=True)
class Mark:
    """An extreme: what it was, how much, when."""

    words: str
    figure: str
    at: datetime


@dataclass(frozen=True)
class StationRecord:
    """Everything network/record.html may show of a station."""

    village: Village
    station: Station
    span: Span
    sentences: list[str]
    picture: Picture | None
    table: Table
    marks: list[Mark]
    growth: Growth
    rose: RosePicture | None
    earlier: list[Earlier]


@require_safe
def newest(request: HttpRequest, village: str, station: int) -> HttpResponseRedirect:
    """To the month that is running."""
    found = _found(request, village, station)
    today = datetime.fromtimestamp(time(), found.village.clock)
    return redirect("station-record", village, station, today.year, today.month)


@require_safe
@gzip_page
def station(
    request: HttpRequest,
    village: str,
    station: int,
    year: int,
    month: int | None = None,
    day: int | None = None,
) -> HttpResponse:
    """The page; ``?base=`` chooses above what degree days are counted [°C]."""
    found = _found(request, village, station)
    span = Span.of(found.village.clock, time(), year, month, day)
    with timezone.override(span.zone):
        return render(request, "network/record.html", {"page": _page(found, span, _base(request))})


def _found(request: HttpRequest, village: str, station: int) -> Station:
    stations = Station.objects.open_to(request.user).select_related("household__village")
    return get_object_or_404(
        stations.prefetch_related("placements", "instruments"), pk=station, household__village__slug=village
    )


def _base(request: HttpRequest) -> int:
    asked = request.GET.get("base", "")
    return int(asked) if asked in map(str, gathered.BASES) else gathered.BASES[1]


def _page(station: Station, span: Span, base: int) -> StationRecord:
    days, hours = gathered.summaries([station.pk], span)[station.pk]
    others = [one.pk for one in gathered.public(station.village) if one.pk != station.pk]
    theirs = [
        gathered.parts_of(span, *pair) for pair in gathered.summaries(others, span, WARMTH, ()).values()
    ]
    parts = gathered.parts_of(span, days, hours)
    village = cut.of_village(theirs, parts.edges)
    speaking = sum(bool(np.isfinite(one.mean).any()) for one in theirs)
    made = gathered.station_record(station, span, days, hours, base)
    known = gathered.known_of(
        span,
        made,
        gathered.mean_before(station.pk, span),
        gathered.beside_others(parts.mean, village, speaking) if made.mean.stands else None,
    )
    return StationRecord(
        village=station.village,
        station=station,
        span=span,
        sentences=sentences(known),
        picture=picture(parts, places(span), labels(span, parts), village.mean if speaking else None),
        table=table(span, parts),
        marks=list(_marks(made, span)),
        growth=growth(station, made, base),
        rose=rose_picture(made.rose),
        earlier=earlier_months(station.pk, span),
    )


def _marks(made: Record, span: Span) -> list[Mark]:
    found: list[tuple[str, str, Peak | None]] = [
        (_("lowest temperature"), "air_temperature", gathered.peak(made.lowest, span)),
        (_("highest temperature"), "air_temperature", gathered.peak(made.highest, span)),
        (_("strongest gust"), "wind_gust", gathered.peak(made.gust, span)),
    ]
    return [Mark(words, amount(name, one.value), one.at) for words, name, one in found if one is not None]
