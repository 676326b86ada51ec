"""Waiting for a station's first report: what has come in, and how it is understood so far."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Max
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from network.models import Report
from network.pipeline.metadata.tongue import Tongue, from_epoch
from network.web.first_words import FirstWords, first_words
from stations.life import MEANING, ways
from stations.models import Station
from stations.registration import Course, channels, missing
from stations.views.keeper import StepPage, for_keeper

NEWEST = 12
"""Reports to look at: an hour of a common board."""


@dataclass(frozen=True)
class Arrived:
    """One report that came in, and what was wrong with it."""

    received_at: datetime
    size: int
    problem: str


@dataclass(frozen=True)
class WaitingPage(StepPage):
    """Everything stations/waiting.html may show."""

    heard: FirstWords | None = None
    arrived: tuple[Arrived, ...] = ()
    state: str = ""
    missing: tuple[str, ...] = ()
    meaning: str = ""
    ways: tuple[tuple[str, str], ...] = ()


@never_cache
@require_safe
@for_keeper
def waiting(request: HttpRequest, station: Station) -> HttpResponse:
    """What the device has said so far, in words."""
    reports = list(Report.objects.filter(station=station).order_by("-received_at")[:NEWEST])
    understandable = [report for report in reports if not report.problem]
    lacks = missing(station)
    page = WaitingPage(
        station,
        Course.of(station, "waiting"),
        heard=first_words(Tongue.of(station), understandable, channels(station)),
        arrived=tuple(Arrived(from_epoch(r.received_at), len(r.body), r.problem) for r in reports),
        state=_state(station),
        missing=tuple(lacks) if station.state == Station.State.DRAFT else (),
        meaning=MEANING[station.state],
        ways=tuple((to, words) for to, words in ways(station).items() if _sensible(to, lacks)),
    )
    return render(request, "stations/waiting.html", {"page": page})


@never_cache
@require_safe
@for_keeper
def state(request: HttpRequest, station: Station) -> JsonResponse:
    """A short text that changes whenever something new has come in, for the page to ask after."""
    return JsonResponse({"state": _state(station)})


def _state(station: Station) -> str:
    newest = Report.objects.filter(station=station).aggregate(at=Max("received_at"))["at"]
    return f"{station.state} {newest or 0:.3f}"


def _sensible(to: str, lacks: list[str]) -> bool:
    """Here a station is sent on its way; ending it is for the page of all stations."""
    return to in (Station.State.AWAITING, Station.State.DRAFT) and not (
        to == Station.State.AWAITING and lacks
    )
