"""A station before the steward: what is known of it, and whether it counts."""

from dataclasses import dataclass
from datetime import datetime

from django.contrib import messages
from django.db.models import Count, Max, Min
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from network.models import Decision, Report
from network.pipeline.verbs import decisions
from network.web.desk.access import steward_only
from network.web.desk.forms import MaintenanceForm, StationForm
from network.web.desk.trail import Step, for_steps, step
from network.web.history import Entry, history
from network.web.place import Place, Sited, place_of, sited
from stations.models import Membership, Station, Village

Kind, State = Decision.Kind, Station.State

SENTENCES = {
    Kind.APPROVE: "It counts in the village from this day on:",
    Kind.SEND_BACK: "It needs more first; what is missing is the reason you write below.",
    Kind.PAUSE: "It counts no longer for now; its past stays.",
    Kind.RETIRE: "Its life is over: its keys stop working, its record stays.",
}

OPEN_TO = {
    State.DRAFT: (),
    State.AWAITING: (Kind.APPROVE, Kind.SEND_BACK),
    State.LIVE: (Kind.PAUSE, Kind.RETIRE),
    State.PAUSED: (Kind.APPROVE, Kind.RETIRE),
    State.RETIRED: (Kind.APPROVE,),
}
"""What may be decided about a station in each state, the likeliest first."""


@dataclass(frozen=True)
class Reports:
    """What has come from the station."""

    count: int
    refused: int
    first: datetime | None
    last: datetime | None


@dataclass(frozen=True)
class DeskStationPage:
    """Everything network/desk_station.html may show."""

    village: Village
    station: Station
    keepers: list[str]
    place: Place | None
    sited: list[Sited]
    reports: Reports
    history: list[Entry]
    before: list[Step]
    choices: list[tuple[str, str]]  # kind, sentence
    chosen: str
    since: str  # the day proposed, as 2026-11-25
    form: StationForm


@require_http_methods(["GET", "HEAD", "POST"])
@steward_only
def station(request: HttpRequest, village: Village, station: int) -> HttpResponse:
    """Show a station and decide whether it counts."""
    found = get_object_or_404(
        Station.objects.of(village)
        .select_related("household__village")
        .prefetch_related(
            "placements__siting_notes",
            "instruments",
            "channels__instrument",
            "channels__calibrations",
            "decisions",
        ),
        pk=station,
    )
    form = StationForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            made = _decide(found, form, request, village)
        except decisions.NotPossible as problem:
            form.add_error(None, str(problem))
        else:
            messages.success(
                request, f"Decided. {found}: {made.get_kind_display()}. The hub is looking again."
            )
            return redirect("desk", village.slug)
    page = _page(found, village, form)
    return render(request, "network/desk_station.html", {"page": page}, status=400 if form.errors else 200)


@require_POST
@steward_only
def maintenance(request: HttpRequest, village: Village, station: int) -> HttpResponse:
    """Note that somebody was at work on a station."""
    found = get_object_or_404(Station.objects.of(village), pk=station)
    form = MaintenanceForm(request.POST)
    if form.is_valid():
        try:
            decisions.maintain(found, request.user, form.span(), form.cleaned_data["work"].strip())
        except decisions.NotPossible as problem:
            messages.error(request, str(problem))
        else:
            messages.success(request, f"Noted. What {found} said meanwhile is not taken for weather.")
    else:
        messages.error(request, " ".join(text for texts in form.errors.values() for text in texts))
    return redirect("desk-station", village.slug, found.pk)


def _decide(station: Station, form: StationForm, request: HttpRequest, village: Village) -> Decision:
    kind, reason = form.cleaned_data["kind"], form.cleaned_data["reason"].strip()
    if kind == Kind.APPROVE:
        since = form.counts_from(_stands_since(station), village.clock)
        return decisions.approve(station, request.user, since, reason)
    verbs = {Kind.SEND_BACK: decisions.send_back, Kind.PAUSE: decisions.pause, Kind.RETIRE: decisions.retire}
    return verbs[kind](station, request.user, reason)


def _stands_since(station: Station) -> datetime | None:
    """From when a station may count: when it first did, or when it was put where it stands."""
    if station.counts_from:
        return station.counts_from
    return next((place.begins_at for place in station.placements.all() if place.ends_at is None), None)


def _page(station: Station, village: Village, form: StationForm) -> DeskStationPage:
    kinds = OPEN_TO[State(station.state)]
    since = _stands_since(station)
    placement = next((place for place in station.placements.all() if place.ends_at is None), None)
    made = for_steps(station.decisions.order_by("-made_at", "-pk"))
    people = Membership.objects.filter(household=station.household).select_related("person")
    return DeskStationPage(
        village=village,
        station=station,
        keepers=[one.person.get_full_name() or one.person.get_username() for one in people],
        place=place_of(placement, kept=True) if placement else None,
        sited=sited(placement.siting_notes.all(), village) if placement else [],
        reports=_reports(station, village),
        history=history(station, village.clock),
        before=[step(one, village) for one in made[:12]],
        choices=[(kind, SENTENCES[kind]) for kind in kinds],
        # A station that counts goes on counting unless the steward chooses otherwise.
        chosen=form.data.get("kind", "") if form.is_bound else Kind.APPROVE if Kind.APPROVE in kinds else "",
        since=f"{since.astimezone(village.clock):%Y-%m-%d}" if since else "",
        form=form,
    )


def _reports(station: Station, village: Village) -> Reports:
    sent = Report.objects.filter(station=station)
    found = sent.aggregate(count=Count("pk"), first=Min("received_at"), last=Max("received_at"))
    first, last = (at and datetime.fromtimestamp(at, village.clock) for at in (found["first"], found["last"]))
    return Reports(found["count"], sent.exclude(problem="").count(), first, last)
