"""What a keeper decides about a station's life: send it for approval, pause it, bring it back, retire it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from network.pipeline.verbs import decisions
from stations import life
from stations.models import Station
from stations.registration import missing
from stations.views.keeper import for_keeper

_STOPS = {Station.State.PAUSED: decisions.pause, Station.State.RETIRED: decisions.retire}


@require_POST
@for_keeper
def go(request: HttpRequest, station: Station) -> HttpResponse:
    """Bring the station into the state that the form names."""
    to = request.POST.get("to", "")
    try:
        _go(request, station, to)
    except (life.NotNow, decisions.NotPossible) as problem:
        messages.error(request, str(problem))
    else:
        messages.success(request, f"{station.name}. {life.MEANING[Station.State(to)]}")
    return redirect("my-stations")


def _go(request: HttpRequest, station: Station, to: str) -> None:
    if to == Station.State.AWAITING and (lacks := missing(station)):
        raise life.NotNow(f"{station.name} is not ready yet. {' '.join(lacks)}")
    if (station.state, to) in life.STOPS:  # it ends what counts, so it goes into the audit trail
        _STOPS[to](station, by=request.user, reason="by its keeper")
    else:
        life.move(station, to)
