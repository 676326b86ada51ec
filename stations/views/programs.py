"""A station's program as a file: with its key where the page that shows the key asks for it, else without."""

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from stations.models import Station
from stations.models.key import digest
from stations.programs import KINDS, NO_KEY, Program, program
from stations.registration import channels, keys
from stations.views.keeper import for_keeper


def programs(station: Station, key: str) -> tuple[Program, ...]:
    """Each kind of program, filled in for a station."""
    return tuple(_program(station, kind, key or NO_KEY) for kind in KINDS)


@never_cache
@sensitive_post_parameters("key")
@require_http_methods(["GET", "HEAD", "POST"])
@for_keeper
def program_file(request: HttpRequest, station: Station, kind: str) -> HttpResponse:
    """The program to save. The key travels with the request and is not kept."""
    if kind not in KINDS:
        raise Http404
    given = request.POST.get("key", "")
    own = any(key.hash == digest(given) for key in keys(station))
    return attachment(_program(station, kind, given if own else NO_KEY))


def attachment(made: Program) -> HttpResponse:
    """A program as a browser saves it."""
    headers = {"Content-Disposition": f'attachment; filename="{made.kind.file}"'}
    return HttpResponse(made.text, content_type="text/plain; charset=utf-8", headers=headers)


def _program(station: Station, kind: str, key: str) -> Program:
    address = settings.SITE_URL + reverse("reports")
    return program(KINDS[kind], address, key, channels(station), station.report_every)
