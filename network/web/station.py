"""A station's page: now, what the hub thinks of it, its past, its place, and how it reports."""

import time
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Prefetch, QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from network.models import Case, Notice
from network.pipeline.neighbours.scorecard import regularity, scores
from network.pipeline.records.present import last_heard, present
from network.quality.checks import CHECKS
from network.science.variables import VARIABLES
from network.web.download import measured
from network.web.figure import figure_json
from network.web.history import Entry, history
from network.web.moment import SPANS, Moment, asked
from network.web.nav import desks
from network.web.now import Now, shown_now
from network.web.opinion import DAYS, Opinion, opinion
from network.web.place import Place, Sited, nearest, place_of, sited
from network.web.power import Supply, supply
from network.web.quantities import words_of
from network.web.reasons import noted
from network.web.reporting import Reporting, reporting
from network.web.series import GRAIN, Series, series_of
from network.web.series_axes import TimeAxis
from network.web.series_picture import Picture, picture
from network.web.series_table import Periods, Table, table
from network.web.skyline import Drawn, skyline
from stations.models import Channel, Photo, Placement, SitingNote, Station, Village


@dataclass(frozen=True)
class Chart:
    """One variable over the chosen span."""

    variable: str
    words: str
    picture: Picture
    table: Table


@dataclass(frozen=True)
class StationPage:
    """Everything network/station.html may show."""

    village: Village
    station: Station
    kept: bool  # whether the reader may change it
    steward: bool  # whether the reader is the village's steward
    moment: Moment
    day: date
    day_before: date
    day_after: date | None
    now: Now | None
    opinion: Opinion
    notices: list[Notice]
    span: str
    spans: list[str]
    charts: list[Chart]
    neighbours: int
    place: Place | None
    sited: list[Sited]
    photos: list[Photo]  # those the reader may see
    skyline: Drawn | None
    supply: Supply | None  # for whoever may change it
    history: list[Entry]
    reporting: Reporting


@require_safe
@gzip_page
def station(request: HttpRequest, village: str, station: int) -> HttpResponse:
    """The page, at ``?at=`` or the end of ``?day=``, with charts over ``?span=``."""
    found = _found(request, village, station)
    moment = asked(request.GET, found.village.clock, time.time())
    kept = Station.objects.kept_by(request.user).filter(pk=found.pk).exists()
    steward = _is_steward(request, found.village)
    battery = supply(found, moment, request.GET) if kept or steward else None
    page = _page(found, moment, _span(request), kept, steward, battery)
    with timezone.override(moment.zone):
        return render(request, "network/station.html", {"page": page})


@require_safe
@gzip_page
def figure(request: HttpRequest, village: str, station: int, variable: str) -> HttpResponse:
    """One chart's figure as JSON, for whoever asks to explore it."""
    if variable not in VARIABLES:
        raise Http404(f"'{variable[:40]}' is not a variable: use one of {', '.join(VARIABLES)}.")
    found = _found(request, village, station)
    moment = asked(request.GET, found.village.clock, time.time())
    series = _series(found, moment, _span(request), [variable], nearest(found, moment.local))[0]
    return HttpResponse(figure_json(series, found.name, moment.zone), content_type="application/json")


def _found(request: HttpRequest, village: str, station: int) -> Station:
    open_to = fetched(Station.objects.open_to(request.user))
    return get_object_or_404(open_to, pk=station, household__village__slug=village)


def fetched(stations: QuerySet[Station]) -> QuerySet[Station]:
    """The stations with all of their metadata, in a query for each kind."""
    return stations.select_related("household__village").prefetch_related(
        Prefetch("channels", Channel.objects.select_related("instrument")),
        "channels__calibrations",
        "clocks",
        "instruments",
        "placements__siting_notes",
        "decisions",
    )


def _is_steward(request: HttpRequest, village: Village) -> bool:
    return any(one.pk == village.pk for one in desks(request)["desks"]())


def _span(request: HttpRequest) -> str:
    span = request.GET.get("span", "day")
    if span not in SPANS:
        raise Http404(f"'{span[:20]}' is not a span: use one of {', '.join(SPANS)}.")
    return span


def _page(
    station: Station, moment: Moment, span: str, kept: bool, steward: bool, battery: Supply | None
) -> StationPage:
    village = station.village
    placement = _placement(station, moment)
    notes = _notes(placement, moment) if placement else []
    neighbours = nearest(station, moment.local)
    open_cases = Case.objects.open().recent(moment.at).filter(station=station, begins_at__lte=moment.at)
    cases = list(open_cases.filter(check_name__in=CHECKS))
    begins, ends = moment.span(span)
    names = measured(station.pk, begins, ends)
    axis, periods = TimeAxis.over((begins, ends), moment.zone), Periods(span, moment.zone)
    words = reporting(station, moment)
    today = moment.day
    return StationPage(
        village=village,
        station=station,
        kept=kept,
        steward=steward,
        moment=moment,
        day=today,
        day_before=today - timedelta(days=1),
        day_after=None if moment.now else today + timedelta(days=1),
        now=_now(station, moment, cases),
        opinion=_opinion(
            station, moment, cases, notes, [word.name for word in words.unknown] if kept else []
        ),
        notices=list(Notice.objects.filter(station=station)[:5]) if kept and moment.now else [],
        span=span,
        spans=list(SPANS),
        charts=[
            Chart(one.variable, words_of(one.variable), picture(one, axis), table(one, periods))
            for one in _series(station, moment, span, names, neighbours)
        ],
        neighbours=len(neighbours),
        place=place_of(placement, kept) if placement else None,
        sited=sited(notes, village),
        photos=_photos(placement, kept or steward) if placement else [],
        skyline=skyline(placement, moment.at) if placement and (kept or placement.public_place) else None,
        supply=battery,
        history=history(station, moment.zone),
        reporting=words,
    )


def _placement(station: Station, moment: Moment) -> Placement | None:
    stood = [one for one in station.placements.all() if one.begins_at.timestamp() <= moment.at]
    return stood[-1] if stood else None


def _now(station: Station, moment: Moment, cases: list[Case]) -> Now | None:
    """The newest the station has to say; None when it has said nothing yet."""
    heard = last_heard(station.pk, moment.at)
    if heard is None:
        return None
    then = Moment(heard, moment.zone, now=False)
    latitude, longitude = station.village.centre  # near enough for the sun, and gives nobody's place away
    seen = present(station.pk, heard, then.midnight(), station.report_every, latitude, longitude)
    evidence = noted(station.pk, heard - 3 * station.report_every, heard)
    return shown_now(moment, moment.at - heard, station.report_every, seen, evidence, cases)


def _opinion(
    station: Station, moment: Moment, cases: list[Case], notes: list[SitingNote], unknown: list[str]
) -> Opinion:
    since = moment.at - DAYS * 86400
    return opinion(
        moment,
        scores(station.pk, since, moment.at, *station.village.centre),
        cases,
        regularity(station.pk, since, moment.at, station.report_every),
        notes,
        unknown,
    )


def _series(
    station: Station, moment: Moment, span: str, variables: list[str], neighbours: dict[int, str]
) -> list[Series]:
    edges = moment.span(span)
    return series_of(station.pk, station.report_every, neighbours, variables, edges, GRAIN[span])


def _photos(placement: Placement, kept: bool) -> list[Photo]:
    photos = placement.photos.defer("jpeg")
    return list(photos if kept else photos.visible())


def _notes(placement: Placement, moment: Moment) -> list[SitingNote]:
    """The newest note of each variable at the moment."""
    written = [note for note in placement.siting_notes.all() if note.written_at.timestamp() <= moment.at]
    return list({note.variable: note for note in written}.values())
