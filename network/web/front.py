"""The front page: a village's weather in sentences, a map, the strip and a table."""

from dataclasses import dataclass
from time import time

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import conditional_page, require_safe

from network.science.variables import VARIABLES
from network.web.belief import belief
from network.web.explore_figures import map_figure, strip_figure
from network.web.sentences import day, sentences
from network.web.strip import Strip, strip
from network.web.village_map import OFFERED, MapPicture, map_picture
from network.web.village_now import VillageNow, village_now
from network.web.village_table import Table, table
from network.web.when import When, frame_asked, when
from stations.models import Village


@dataclass(frozen=True)
class VillagePage:
    """Everything network/front.html and network/explore.html may show; all but the village None before any report."""

    village: Village
    variables: list[tuple[str, str, bool]]  # (name, words, whether it is shown)
    variable: str
    when: When | None = None
    sentences: list[str] | None = None
    belief: list[str] | None = None
    day: str = ""
    map: MapPicture | None = None
    strip: Strip | None = None
    table: Table | None = None


@require_safe
def front(request: HttpRequest) -> HttpResponse:
    """To the only village, or the list of them, or how to begin."""
    villages = list(Village.objects.order_by("name"))
    if len(villages) == 1:
        return redirect("village", villages[0].slug)
    return render(request, "network/villages.html", {"villages": villages})


@require_safe
@gzip_page
def village(request: HttpRequest, village: str) -> HttpResponse:
    """A village's front page."""
    return render(request, "network/front.html", {"page": page_of(request, village)[0]})


@require_safe
@gzip_page
@conditional_page
@cache_control(public=True, max_age=60)
def map_svg(request: HttpRequest, village: str) -> HttpResponse:
    """The map alone, of one variable at one frame: what the slider fetches."""
    found = get_object_or_404(Village, slug=village)
    at = frame_asked(request.GET)
    now = village_now(found, When.only(at, found.clock))
    context = {"map": map_picture(now, _variable(request)), "village": found, "at": at, "alone": True}
    return render(request, "network/_map.svg", context, content_type="image/svg+xml")


@require_safe
@gzip_page
def explore(request: HttpRequest, village: str) -> HttpResponse:
    """The map and the strip to explore; as pictures and a table without JavaScript."""
    return render(request, "network/explore.html", {"page": page_of(request, village)[0]})


@require_safe
@gzip_page
def figure(request: HttpRequest, village: str, name: str) -> HttpResponse:
    """The figure of the map or of the strip, for the library that draws it."""
    page, now = page_of(request, village)
    if now is None or page.map is None:
        raise Http404("Nobody has reported anything yet.")
    made = map_figure(now, page.variable, page.map) if name == "map" else strip_figure(now, page.variable)
    return HttpResponse(made, content_type="application/json")


def page_of(request: HttpRequest, slug: str) -> tuple[VillagePage, VillageNow | None]:
    """The village as asked for, and the arrays behind it."""
    found = get_object_or_404(Village, slug=slug)
    chosen = _variable(request)
    offered = [(name, _(VARIABLES[name].short), name == chosen) for name in OFFERED]
    asked = when(request.GET, found, time())
    if asked is None:
        return VillagePage(found, offered, chosen), None
    now = village_now(found, asked)
    told = now.told()
    page = VillagePage(
        village=found,
        variables=offered,
        variable=chosen,
        when=asked,
        sentences=sentences(told),
        belief=belief(told),
        day=day(told),
        map=map_picture(now, chosen),
        strip=strip(now, chosen),
        table=table(now),
    )
    return page, now


def _variable(request: HttpRequest) -> str:
    asked = request.GET.get("variable", "")
    return asked if asked in OFFERED else OFFERED[0]
