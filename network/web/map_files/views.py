"""The addresses of a map's files."""

import json
from collections.abc import Callable
from hashlib import sha256
from time import time

from django.core.cache import cache
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from network.models import VillageMap
from network.science.variables import MAPPED, VARIABLES
from network.spatial.village import TooFew
from network.web.map_files.geotiff import geotiff
from network.web.map_files.isolines import geojson
from network.web.map_files.netcdf import netcdf
from network.web.map_files.notice import notice
from network.web.map_files.sheet import Sheet, file_name, sheet
from network.web.map_words import unit_words
from network.web.village_map import map_picture
from network.web.village_now import village_now
from network.web.when import When, frame_asked, newest_frame
from stations.models import Ground, Station, Village

KEPT = 600
"""[s] How long a picture is handed out again: it takes a second to draw, and verdicts come late."""

FILES: dict[str, tuple[str, Callable[[Sheet], bytes]]] = {
    "geojson": ("application/geo+json", geojson),
    "nc": ("application/netcdf", netcdf),
    "tif": ("image/tiff; application=geotiff", geotiff),
}
"""By their ending: the type, and what makes it."""


@require_safe
@cache_control(public=True, max_age=60)
def map_file(request: HttpRequest, village: str, ending: str) -> HttpResponse:
    """One map as a file: ``variable`` names it, ``at`` is the end of its ten minutes, or left out for the newest."""
    found = get_object_or_404(Village, slug=village)
    kept = kept_map(request, found)
    kind, make = FILES[ending]
    try:
        made = sheet(kept)
    except TooFew as too_few:
        raise Http404(str(too_few)) from too_few
    answer = HttpResponse(make(made), content_type=kind)
    answer["Content-Disposition"] = f'attachment; filename="{file_name(kept, ending)}"'
    return answer


@require_safe
@cache_control(public=True, max_age=60)
def map_png(request: HttpRequest, village: str) -> HttpResponse:
    """The map as a picture for a notice; an anonymous reader's, whoever asks."""
    found = get_object_or_404(Village, slug=village)
    kept = kept_map(request, found)
    stations = Station.objects.of(found).order_by("pk").values_list("pk", "name", "shown")
    layers = list(Ground.objects.kept().filter(village=found).values_list("pk", flat=True))
    told = json.dumps([kept.used, kept.left_out, kept.method, kept.rmse, layers, list(stations)])
    key = f"map-png:{found.pk}:{kept.variable}:{kept.at}:{sha256(told.encode()).hexdigest()}"
    drawn = cache.get(key)
    if drawn is None:
        now = village_now(found, When.only(kept.at, found.clock))
        title = f"{VARIABLES[kept.variable].words.capitalize()} in {unit_words(kept.variable)}"
        drawn = notice(now, map_picture(now, kept.variable), title)
        cache.set(key, drawn, KEPT)
    answer = HttpResponse(drawn, content_type="image/png")
    answer["Content-Disposition"] = f'inline; filename="{file_name(kept, "png")}"'
    return answer


def kept_map(request: HttpRequest, village: Village) -> VillageMap:
    """The map asked for. Raises Http404 with a sentence."""
    variable = request.GET.get("variable", "air_temperature")
    if variable not in MAPPED:
        raise Http404(f"There is no map of '{variable[:40]}': ask for one of {', '.join(MAPPED)}.")
    maps = VillageMap.objects.filter(village=village, variable=variable).select_related("village")
    if "at" not in request.GET:
        newest = maps.filter(at__lte=newest_frame(village, time()) or 0).order_by("-at").first()
        if newest is None:
            raise Http404(f"There is no map of the {VARIABLES[variable].words} yet.")
        return newest
    kept = maps.filter(at=frame_asked(request.GET)).first()
    if kept is None:
        raise Http404(f"There is no map of the {VARIABLES[variable].words} for these ten minutes.")
    return kept
