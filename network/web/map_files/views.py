"""The addresses of a map's files."""

from collections.abc import Callable

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
from network.web.map_files.sheet import Sheet, sheet
from network.web.when import frame_asked
from stations.models import Village

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
    answer["Content-Disposition"] = f'attachment; filename="{made.name(ending)}"'
    return answer


def kept_map(request: HttpRequest, village: Village) -> VillageMap:
    """The map asked for. Raises Http404 with a sentence."""
    variable = request.GET.get("variable", "air_temperature")
    if variable not in MAPPED:
        raise Http404(f"There is no map of '{variable[:40]}': ask for one of {', '.join(MAPPED)}.")
    maps = VillageMap.objects.filter(village=village, variable=variable).select_related("village")
    if "at" not in request.GET:
        newest = maps.order_by("-at").first()
        if newest is None:
            raise Http404(f"There is no map of the {VARIABLES[variable].words} yet.")
        return newest
    kept = maps.filter(at=frame_asked(request.GET)).first()
    if kept is None:
        raise Http404(f"There is no map of the {VARIABLES[variable].words} for these ten minutes.")
    return kept
