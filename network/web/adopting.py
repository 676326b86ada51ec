"""A name that a device sends and no channel bears, given to the channel that was meant, by one click."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from network.models import Report
from network.pipeline.metadata.tongue import Tongue
from network.science.variables import VARIABLES
from network.web.first_words import names_heard
from stations import history
from stations.models import Station
from stations.views.keeper import for_keeper

LOOKED_AT = 300
"""Reports in which the channel's own name is looked for: about a day of them."""


@require_POST
@for_keeper
def adopt(request: HttpRequest, station: Station, channel: int) -> HttpResponse:
    """From now on the channel answers to the name too, also in what has come so far."""
    found = get_object_or_404(station.channels.current().select_related("instrument", "station"), pk=channel)
    name = request.POST.get("name", "")
    reports = list(Report.objects.filter(station=station, problem="").order_by("-received_at")[:LOOKED_AT])
    was_heard = found.name in names_heard(Tongue.of(station), reports)
    try:
        history.adopt(found, name, was_heard=was_heard)
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    else:
        messages.success(request, f"{name} is now the {VARIABLES[found.instrument.variable].words}.")
    return redirect("register-waiting", station.pk)
