"""The map page: the village's map at any of the last 288 frames, and the estimate at one's own gate."""

import hashlib
import json
from dataclasses import dataclass
from time import time

from django.core.cache import cache
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import translation
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import conditional_page, require_safe

from network.models import VillageMap
from network.pipeline.ledger.blocks import FRAME
from network.quality.verdict import VERDICT_WORDS
from network.science.variables import VARIABLES
from network.web.map_words import unit_words
from network.web.maps.gate import Gate, gate_asked
from network.web.maps.run import SPAN, run
from network.web.maps.span import Step, Tick, steps, ticks, two_days
from network.web.quantities import shown_unit, words_of
from network.web.reader import reader
from network.web.reasons import verdict_words
from network.web.village_map import OFFERED, MapPicture, map_picture
from network.web.village_now import village_now
from network.web.when import When, frame_asked
from stations.models import Station, Village

KEPT = 60
"""[s] How long a run of maps is handed out again without being worked out."""


@dataclass(frozen=True)
class MapPage:
    """Everything network/map.html may show; all but the village and the variables None before any report."""

    village: Village
    variables: list[tuple[str, str, bool]]  # (name, words, whether it is shown)
    variable: str
    words: str = ""
    hours: str = ""  # of the reader's clock, 12 or 24
    unit: str = ""
    when: When | None = None
    steps: list[Step] | None = None
    map: MapPicture | None = None
    ticks: list[Tick] | None = None
    gate: Gate | None = None
    told: dict[str, object] | None = None  # the words that the script says


@require_safe
@gzip_page
def map_page(request: HttpRequest, village: str) -> HttpResponse:
    """The village's map with its slider over two days."""
    found, variable = get_object_or_404(Village, slug=village), chosen(request)
    offered = [(name, _(VARIABLES[name].short), name == variable) for name in OFFERED]
    asked = two_days(request.GET, found, time())
    if asked is None:
        return render(request, "network/map.html", {"page": MapPage(found, offered, variable)})
    words = words_of(variable)
    summed = VARIABLES[variable].summary == "sum"
    page = MapPage(
        village=found,
        variables=offered,
        variable=variable,
        words=_("{what} of the last hour").format(what=words) if summed else words,
        unit=unit_words(variable),
        hours=reader().clock,
        when=asked,
        steps=steps(asked),
        map=map_picture(village_now(found, When.only(asked.at, found.clock)), variable),
        ticks=ticks(asked.begins_at + FRAME, asked.ends_at, found.clock),
        gate=gate_asked(request.GET, found, variable, asked.at),
        told=_told(),
    )
    return render(request, "network/map.html", {"page": page})


def _told() -> dict[str, object]:
    """What the script has to say by itself, in the reader's language and on the reader's clock."""
    return {
        "play": _("Play"),
        "pause": _("Pause"),
        "moment": _("{time} on {day}"),
        "day": _("{weekday} {day} {month}"),
        "nothing": _("no figure"),
        "failed": _("The maps did not come ({status})."),
        "unanswered": _("The hub did not answer. See whether you are online, then press Ask again."),
        "unsaid": _("The hub could not say it just now ({status}). Press Ask again in a minute."),
        "trouble": _("The hours can be stepped by the links."),
        "verdicts": dict(verdict_words(mark) for mark in VERDICT_WORDS),
    }


@require_safe
@gzip_page
@conditional_page
@cache_control(public=True, max_age=KEPT)
def map_run(request: HttpRequest, village: str) -> HttpResponse:
    """The maps of the two days up to a frame, for the browser that draws them (see ``packed``)."""
    found, variable, until = (
        get_object_or_404(Village, slug=village),
        chosen(request),
        frame_asked(request.GET),
    )
    content = _fingerprint(found, variable, until)
    told = f"{translation.get_language()}:{shown_unit(variable)}"
    key = f"map-run:{found.pk}:{variable}:{told}:{until}:{content}"
    packed = cache.get(key)
    if packed is None:
        span = When(until, until - SPAN, until, until, now=False, fresh=False, zone=found.clock)
        packed = run(village_now(found, span), variable)
        cache.set(key, packed, KEPT)
    return HttpResponse(packed, content_type="application/octet-stream")


def chosen(request: HttpRequest) -> str:
    """The variable asked for, or the first of those offered."""
    asked = request.GET.get("variable", "")
    return asked if asked in OFFERED else OFFERED[0]


def _fingerprint(village: Village, variable: str, until: int) -> str:
    """Of the readings the maps stand on and of who may be seen: what was worked out from others is not handed out."""
    maps = VillageMap.objects.filter(
        village=village, variable=variable, at__gt=until - SPAN, at__lte=until
    ).order_by("at")
    stations = Station.objects.of(village).order_by("pk").values_list("pk", "name", "shown")
    content = json.dumps([list(maps.values_list("at", "used", "left_out", "rmse")), list(stations)])
    return hashlib.sha256(content.encode()).hexdigest()
