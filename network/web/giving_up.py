"""A draft that its keeper gives up: deleted if it never said anything, retired if it has a record."""

from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse

from network.models import Decision, Report
from stations import life
from stations.models import Station
from stations.views.asking import Asked, ask
from stations.views.keeper import for_keeper


@for_keeper
def give_up(request: HttpRequest, station: Station) -> HttpResponse:
    """Ask once, then delete or retire the draft."""
    if station.state != Station.State.DRAFT:
        raise Http404("Only a draft can be given up: pause or retire a station that counts.")
    kept = _has_record(station)
    asked = Asked(
        village=station.village,
        title=f"Give {station.name} up?",
        sentences=[
            "It has a record already, and that stays: the station is retired. Its keys no longer work, and only the "
            "steward can bring it back."
            if kept
            else "It never reported, so it is deleted: its place, instruments, siting notes, photos and keys with it. "
            "This cannot be undone."
        ],
        button="Retire it" if kept else "Delete it",
        back=reverse("my-stations"),
    )
    done = life.MEANING[Station.State.RETIRED] if kept else "Deleted."
    return ask(request, asked, lambda: _go(station), f"{station.name}. {done}", "my-stations")


def _has_record(station: Station) -> bool:
    """Whether it reported, counted, or somebody decided about it: what is remembered of a station stays."""
    return (
        life.counted(station)
        or Report.objects.filter(station=station).exists()
        or Decision.objects.filter(station=station).exists()
    )


@transaction.atomic
def _go(station: Station) -> None:
    locked = Station.objects.select_for_update().get(pk=station.pk)  # a first report may be on its way
    if locked.state != Station.State.DRAFT:
        return
    if _has_record(locked):
        life.move(locked, Station.State.RETIRED)
    else:
        locked.delete()
