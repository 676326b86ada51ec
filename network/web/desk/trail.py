"""The audit trail: who decided what, when and why, and what was taken back."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.db.models import Prefetch, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from network.models import Answer, Decision
from network.pipeline.metadata.stretches import FOREVER
from network.pipeline.verbs import decisions
from network.science.units import sign
from network.science.variables import VARIABLES
from network.web.desk.access import steward_only
from network.web.desk.figures import signed
from stations.models import Station, Village

A_PAGE = 40


@dataclass(frozen=True)
class Heard:
    """What a keeper answered to a question."""

    at: datetime
    by: str
    question: str
    sentence: str  # what was chosen; '' where nothing of it fitted
    words: str


@dataclass(frozen=True)
class Step:
    """One decision as the trail tells it."""

    pk: int
    at: datetime
    station: str
    station_pk: int
    about: str  # the variable; '' where it is about the station itself
    words: str
    begins_at: datetime | None
    ends_at: datetime | None
    reason: str
    by: str
    undone_at: datetime | None
    undone_by: str
    answers: list[Heard]  # to a question


@dataclass(frozen=True)
class TrailPage:
    """Everything network/desk_trail.html may show."""

    village: Village
    steps: list[Step]
    sheet: Page
    stations: list[Station]
    chosen: Station | None


@require_safe
@steward_only
def trail(request: HttpRequest, village: Village) -> HttpResponse:
    """All decisions of the village or of ``?station=``, newest first."""
    stations = list(Station.objects.of(village).order_by("name"))
    asked = request.GET.get("station", "")
    chosen = next((station for station in stations if str(station.pk) == asked), None)
    made = Decision.objects.filter(station__household__village=village).order_by("-made_at", "-pk")
    if chosen is not None:
        made = made.filter(station=chosen)
    sheets = Paginator(for_steps(made), A_PAGE)
    sheet = sheets.get_page(request.GET.get("page"))
    page = TrailPage(village, [step(one, village) for one in sheet], sheet, stations, chosen)
    return render(request, "network/desk_trail.html", {"page": page})


@require_POST
@steward_only
def undo(request: HttpRequest, village: Village, decision: int) -> HttpResponse:
    """Take a decision back."""
    found = get_object_or_404(Decision, pk=decision, station__household__village=village)
    try:
        decisions.undo(found, request.user)
    except decisions.NotPossible as problem:
        messages.error(request, str(problem))
    else:
        messages.success(
            request, f"Undone: {found.station}, {found.get_kind_display()}. The hub is looking again."
        )
    return redirect("trail", village.slug)


def step(decision: Decision, village: Village) -> Step:
    """A decision for the trail; best of those that ``for_steps`` fetched."""
    variable, zone = VARIABLES.get(decision.variable), village.clock
    spans = decision.kind in decisions.ABOUT_CASES
    return Step(
        pk=decision.pk,
        at=decision.made_at.astimezone(zone),
        station=decision.station.name,
        station_pk=decision.station_id,
        about=variable.words if variable else "",
        words=f"{decision.get_kind_display()}{_figures(decision)}",
        begins_at=datetime.fromtimestamp(decision.begins_at, zone) if spans else None,
        ends_at=datetime.fromtimestamp(decision.ends_at, zone)
        if spans and decision.ends_at < FOREVER
        else None,
        reason=decision.reason,
        by=_who(decision.made_by),
        undone_at=decision.undone_at and decision.undone_at.astimezone(zone),
        undone_by=_who(decision.undone_by) if decision.undone_at else "",
        answers=[heard(one, village) for one in decision.answers.all()],
    )


def heard(answer: Answer, village: Village) -> Heard:
    """An answer for the desk; best with its question and person fetched."""
    return Heard(
        at=answer.made_at.astimezone(village.clock),
        by=_who(answer.made_by),
        question=answer.question.reason,
        sentence=answer.sentence,
        words=answer.words,
    )


def for_steps(decisions: QuerySet[Decision]) -> QuerySet[Decision]:
    """Decisions with all that ``step`` tells of them, in a fixed number of queries."""
    people = decisions.select_related("station", "made_by", "undone_by")
    return people.prefetch_related(Prefetch("answers", Answer.objects.select_related("made_by", "question")))


def _figures(decision: Decision) -> str:
    given = decision.parameters
    if "unit" in given:
        return f", {sign(given['unit'])} instead of {sign(given['before'])}"
    if "offset" in given:
        return f", {signed(decision.variable, given['offset'])}"
    if "fast_by" in given:
        return f", {abs(given['fast_by']) / 60:g} minutes {'ahead' if given['fast_by'] > 0 else 'behind'}"
    return ""


def _who(person: Any) -> str:
    return (
        "somebody who is no longer here"
        if person is None
        else person.get_full_name() or person.get_username()
    )
