"""What came in from a station and what was refused, for those who keep it."""

import time
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.views import redirect_to_login
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from network.models import Report
from network.web.moment import asked
from network.web.reporting import Reporting, reporting
from network.web.station import fetched
from stations.models import DeviceKey, Station, Village

LISTED = 50
"""Reports on the page of what came in."""


@dataclass(frozen=True)
class Arrival:
    """One report as it came in."""

    at: datetime
    content_type: str
    problem: str


@dataclass(frozen=True)
class ReportsPage:
    """Everything network/station_reports.html may show."""

    village: Village
    station: Station
    refused: list[Arrival]
    received: list[Arrival]
    keys: list[DeviceKey]
    reporting: Reporting


@require_safe
def reports(request: HttpRequest, village: str, station: int) -> HttpResponse:
    """What came in and what was refused, and the endings of its keys: for its keepers and stewards."""
    if not request.user.is_authenticated:
        return redirect_to_login(request.get_full_path())
    kept = fetched(Station.objects.kept_by(request.user))
    found = get_object_or_404(kept, pk=station, household__village__slug=village)
    own = Report.objects.filter(station=found).order_by("-received_at")
    page = ReportsPage(
        village=found.village,
        station=found,
        refused=_arrivals(own.exclude(problem=""), found.village),
        received=_arrivals(own.filter(problem=""), found.village),
        keys=list(found.keys.all()),
        reporting=reporting(found, asked(request.GET, found.village.clock, time.time())),
    )
    with timezone.override(found.village.clock):
        return render(request, "network/station_reports.html", {"page": page})


def _arrivals(reports: QuerySet[Report], village: Village) -> list[Arrival]:
    newest = reports.values_list("received_at", "content_type", "problem")[:LISTED]
    return [Arrival(datetime.fromtimestamp(at, village.clock), kind, problem) for at, kind, problem in newest]
