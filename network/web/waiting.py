"""Waiting for a station's first report: what has come in, and how it is understood so far."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from django.db.models import Max
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from network.models import Report
from network.pipeline.metadata.tongue import Tongue, from_epoch
from network.pipeline.reports.hear import Heard, hear
from network.quality.explanation import shown
from network.science.units import UnknownUnit, sign
from network.science.variables import VARIABLES
from network.wire.message import NotUnderstood, decode
from stations.life import MEANING, ways
from stations.models import Station
from stations.registration import Course, missing
from stations.views.keeper import StepPage, for_keeper

NEWEST = 12
"""Reports to look at: an hour of a common board."""

Said = dict[str, tuple[float, str]]


@dataclass(frozen=True)
class FirstReading:
    """The last word of one channel: as it was said, and as it is understood."""

    name: str
    said: str
    variable: str
    understood: str  # empty where it came to no value
    at: datetime


@dataclass(frozen=True)
class Arrived:
    """One report that came in, and what was wrong with it."""

    received_at: datetime
    size: int
    problem: str


@dataclass(frozen=True)
class WaitingPage(StepPage):
    """Everything stations/waiting.html may show."""

    readings: tuple[FirstReading, ...] = ()
    unknown: tuple[tuple[str, str], ...] = ()  # name and what it said last
    problems: tuple[tuple[str, str], ...] = ()  # name and why it was not understood
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
    tongue = Tongue.of(station)
    hearing = hear(tongue, understandable)
    said = _said(tongue, understandable)
    lacks = missing(station)
    page = WaitingPage(
        station,
        Course.of(station, "waiting"),
        readings=tuple(_reading(heard, said) for heard in _last_of_each(hearing.heard)),
        unknown=tuple((name, _as_said(name, said)) for name in hearing.unknown),
        problems=tuple(hearing.problems.items()),
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


def _said(tongue: Tongue, reports: list[Report]) -> Said:
    """What each name said last, with the unit that came with it; under its full name and its last part."""
    said: Said = {}
    for report in reversed(reports):
        try:
            message = decode(
                bytes(report.body), report.content_type, report.received_at, tongue.zone(report.received_at)
            )
        except NotUnderstood:
            continue
        for one in sorted(message.said, key=lambda each: each.at):
            said[one.name] = said[_short(one.name)] = (one.value, one.unit)
    return said


def _last_of_each(heard: list[Heard]) -> list[Heard]:
    """The newest of each channel, in the order of the catalogue."""
    newest: dict[str, Heard] = {}
    for one in heard:
        before = newest.get(one.channel.name)
        if before is None or before.seconds[-1] <= one.seconds[-1]:
            newest[one.channel.name] = one
    order = list(VARIABLES)
    return sorted(newest.values(), key=lambda one: order.index(one.channel.instrument.variable))


def _reading(heard: Heard, said: Said) -> FirstReading:
    channel, value = heard.channel, float(heard.values[-1])
    variable = VARIABLES[channel.instrument.variable]
    understood = shown(variable.name, value) if np.isfinite(value) else ""
    at = from_epoch(float(heard.seconds[-1]))
    return FirstReading(
        channel.name, _as_said(channel.name, said, channel.unit), variable.words, understood, at
    )


def _as_said(name: str, said: Said, unit: str = "") -> str:
    value, own = said.get(name, (float("nan"), ""))
    return f"{value:g} {_sign(own or unit)}".strip() if np.isfinite(value) else ""


def _sign(unit: str) -> str:
    try:
        return sign(unit) if unit else ""
    except UnknownUnit:
        return unit


def _short(name: str) -> str:
    return name.rpartition(":")[2].rpartition("/")[2]
