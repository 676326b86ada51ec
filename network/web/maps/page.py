"""The map page: the village's map at any of the last 288 frames, and the estimate at one's own gate."""

import hashlib
import json
from dataclasses import dataclass
from time import time

from django.core.cache import cache
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.cache import cache_control
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import conditional_page, require_safe

from network.models import VillageMap
from network.pipeline.ledger.blocks import FRAME
from network.science.variables import VARIABLES
from network.web.map_words import unit_words
from network.web.maps.gate import Gate, gate_asked
from network.web.maps.run import SPAN, run
from network.web.maps.span import Step, Tick, steps, ticks, two_days
from network.web.quantities import shown_unit
from network.web.reader import reader
from network.web.village_map import OFFERED, MapPicture, map_picture
from network.web.village_now import village_now
from network.web.when import When, frame_asked
from stations.models import Village

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


@require_safe
@gzip_page
def map_page(request: HttpRequest, village: str) -> HttpResponse:
    """The village's map with its slider over two days."""
    found, variable = get_object_or_404(Village, slug=village), chosen(request)
    offered = [(name, VARIABLES[name].short, name == variable) for name in OFFERED]
    asked = two_days(request.GET, found, time())
    if asked is None:
        return render(request, "network/map.html", {"page": MapPage(found, offered, variable)})
    page = MapPage(
        village=found,
        variables=offered,
        variable=variable,
        words=VARIABLES[variable].words
        + (" of the last hour" if VARIABLES[variable].summary == "sum" else ""),
        unit=unit_words(variable),
        hours=reader().clock,
        when=asked,
        steps=steps(asked),
        map=map_picture(village_now(found, When.only(asked.at, found.clock)), variable),
        ticks=ticks(asked.begins_at + FRAME, asked.ends_at, found.clock),
        gate=gate_asked(request.GET, found, variable, asked.at),
    )
    return render(request, "network/map.html", {"page": page})


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
    key = f"map-run:{found.pk}:{variable}:{shown_unit(variable)}:{until}:{content}"
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
    """Of the readings the maps stand on: what was worked out from others is not handed out."""
    maps = VillageMap.objects.filter(
        village=village, variable=variable, at__gt=until - SPAN, at__lte=until
    ).order_by("at")
    content = json.dumps(list(maps.values_list("at", "used", "left_out")))
    return hashlib.sha256(content.encode()).hexdigest()
