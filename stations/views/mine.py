"""My stations: the state of each, what comes next, and who keeps them with me."""

from dataclasses import dataclass

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from stations.life import MEANING, ways
from stations.models import Household, Station, Village
from stations.registration import Course, Stop, described, missing


@dataclass(frozen=True)
class Kept:
    """One of my stations."""

    station: Station
    meaning: str
    next: Stop | None  # the question that comes next, while there is one
    missing: list[str]
    ways: dict[str, str]


@dataclass(frozen=True)
class Roof:
    """One of my households."""

    household: Household
    keepers: list[str]
    stations: list[Kept]


@dataclass(frozen=True)
class MyStationsPage:
    """Everything stations/mine.html may show."""

    village: Village | None
    roofs: list[Roof]


@require_safe
@login_required
def mine(request: HttpRequest) -> HttpResponse:
    """The households I belong to, with their keepers and stations."""
    households = Household.objects.filter(memberships__person=request.user).distinct()
    households = list(households.select_related("village").prefetch_related("memberships__person"))
    stations = described(Station.objects.filter(household__in=households))
    roofs = [
        Roof(
            household,
            [_keeper(each) for each in household.memberships.all()],
            [_kept(station) for station in stations if station.household_id == household.pk],
        )
        for household in households
    ]
    page = MyStationsPage(households[0].village if households else None, roofs)
    return render(request, "stations/mine.html", {"page": page})


def _keeper(membership: object) -> str:
    name = membership.person.get_username()
    return f"{name} (steward)" if membership.role == membership.Role.STEWARD else name


def _kept(station: Station) -> Kept:
    draft = station.state == Station.State.DRAFT
    lacks = missing(station) if draft else []
    return Kept(
        station,
        MEANING[station.state],
        Course.of(station).next_open if draft else None,
        lacks,
        {to: words for to, words in ways(station).items() if not (to == Station.State.AWAITING and lacks)},
    )
