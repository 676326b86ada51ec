"""A case on one sheet: the sentence, the evidence, what would change, and the decision."""

import time
from dataclasses import dataclass
from datetime import date, datetime

from django.contrib import messages
from django.db import transaction
from django.db.models import Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from network.models import Answer, Case, Decision
from network.pipeline.cases.foresee import Foresight
from network.pipeline.cases.propose import propose
from network.pipeline.ledger import blocks
from network.pipeline.verbs import decisions
from network.quality.checks import check_named
from network.quality.checks.unit_hypothesis import CHECK as UNIT_HYPOTHESIS
from network.quality.verdict import DOUBTFUL, VERDICT_WORDS, WRONG
from network.science.variables import VARIABLES
from network.web.case_chart import chart_of
from network.web.desk.access import steward_only
from network.web.desk.cases import state_of
from network.web.desk.choices import Choice, choices
from network.web.desk.confidence import lately
from network.web.desk.crowd import Crowd, crowd_in
from network.web.desk.evidence import (
    DepartureDay,
    Fact,
    Spoke,
    departures_by_day,
    on_record,
    what_each_check_saw,
)
from network.web.desk.forms import CaseForm
from network.web.desk.trail import Heard, Step, for_steps, heard, step
from network.web.moment import Moment
from network.web.reasons import sentence
from network.web.station import Chart
from stations.models import Station, Village

METADATA = (
    "placements__siting_notes",
    "instruments",
    "channels__instrument",
    "channels__calibrations",
    "clocks",
)
"""Of the station, read once for all that looks at them."""


@dataclass(frozen=True)
class Beside:
    """Another case of the station at the same time."""

    pk: int
    words: str
    since: datetime
    settled: bool


@dataclass(frozen=True)
class CasePage:
    """Everything network/desk_case.html may show."""

    village: Village
    station: Station
    case: Case
    variable: str
    since: datetime
    until: datetime
    state: str  # as in CaseLine
    verdict: str  # the worst
    doubtful: int  # readings of its span
    wrong: int
    how_sure: str
    how_often: str
    sentence: str
    advice: str
    likeliest: str  # why the proposed decision is
    question: str  # what the keeper might be told or asked
    crowd: Crowd | None  # where many stations show it at once
    chart: Chart | None
    moment: Moment
    day: date
    span: str
    departures: list[DepartureDay]
    compared: str  # the variable they are of
    spoke: list[Spoke]
    on_record: list[Fact]
    beside: list[Beside]
    answers: list[Heard]  # of the keeper, which no decision has followed yet
    before: list[Step]  # earlier decisions about the station
    choices: list[Choice]
    begins: datetime  # the readings that a decision is about, unless the reader says otherwise
    ends: datetime
    form: CaseForm
    looked: bool  # whether the reader asked what would change
    nobody: bool  # whether the station's household has no account that could be asked
    after: Case | None  # the next on the desk


@require_http_methods(["GET", "HEAD", "POST"])
@steward_only
def case(request: HttpRequest, village: Village, case: int) -> HttpResponse:
    """Show a case; decide it; or, with the button for it, show what a decision would change."""
    cases = Case.objects.of(village).select_related("station__household__village")
    found = cases.prefetch_related(*(f"station__{one}" for one in METADATA)).filter(pk=case).first()
    if found is None:
        return _gone(request, village, case)
    form = CaseForm(found, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid() and "look" not in request.POST:
        try:
            made = _decide(found, form, request, village)
        except decisions.NotPossible as problem:
            form.add_error(None, str(problem))
        else:
            about = (
                f"{found.station}, {found.words}"
                if len(made) == 1
                else f"{len(made)} stations, {found.words}"
            )
            messages.success(request, _done(about, made[0]))
            return redirect("desk", village.slug)
    page = _page(village, found, form, "look" in request.POST)
    return render(request, "network/desk_case.html", {"page": page}, status=400 if form.errors else 200)


@transaction.atomic
def _decide(case: Case, form: CaseForm, request: HttpRequest, village: Village) -> list[Decision]:
    """One decision, or where the reader wants the same for all that show it at once, one for each of them."""
    kind, reason = form.cleaned_data["kind"], form.words()
    crowd = crowd_in(case, village) if form.cleaned_data["for_all"] else None
    if crowd is None:
        return [decisions.settle(case, kind, request.user, reason, form.span(), **form.given())]
    return [decisions.settle(one, kind, request.user, reason, **form.given()) for one in crowd.cases]


def _done(about: str, made: Decision) -> str:
    if made.kind == Decision.Kind.ASK:
        return f"Asked about {about}. You are told by e-mail and here when an answer comes."
    return f"Decided. {about}: {made.get_kind_display()}. The hub is looking again."


def _gone(request: HttpRequest, village: Village, case: int) -> HttpResponse:
    """A case whose readings are in doubt no longer: to the decision that did it, where there is one."""
    about = Decision.objects.filter(station__household__village=village, parameters__case=case)
    decision = about.order_by("-made_at").first()
    if decision is None:
        raise Http404("There is no such case. Its readings may be in doubt no longer.")
    messages.info(
        request, "That case is closed: nothing of it is in doubt any more. This was decided about it."
    )
    return redirect(
        f"{reverse('trail', args=[village.slug])}?station={decision.station_id}#decision-{decision.pk}"
    )


def _page(village: Village, case: Case, form: CaseForm, looked: bool) -> CasePage:
    zone, station = village.clock, case.station
    seen = lately([case], zone)[case.fault]
    moment = Moment(case.ends_at, zone, now=False)
    ahead = Foresight(case)
    proposal = propose(case, ahead.departures)
    another_unit = proposal.kind == Decision.Kind.CHANGE_UNIT
    offered, departures = choices(ahead, proposal, form), ahead.departures
    after = next((one.after for one in offered if one.after is not None), None)
    about = proposal.span or (case.begins_at, case.ends_at)
    return CasePage(
        village=village,
        station=station,
        case=case,
        variable=case.words,
        since=datetime.fromtimestamp(case.begins_at, zone),
        until=datetime.fromtimestamp(case.ends_at, zone),
        state=state_of(case, time.time()),
        verdict=VERDICT_WORDS[case.verdict],
        doubtful=ahead.verdicts[DOUBTFUL],
        wrong=ahead.verdicts[WRONG],
        how_sure=seen.how_sure(case),
        how_often=seen.how_often(),
        sentence=sentence(case),
        advice=(UNIT_HYPOTHESIS if another_unit else check_named(case.check_name)).advice,
        likeliest=proposal.why,
        question=proposal.reason,
        crowd=crowd_in(case, village),
        chart=chart_of(case, departures, station, moment),
        moment=moment,
        day=moment.day,
        span="day" if case.ends_at - case.begins_at < blocks.DAY else "week",
        departures=departures_by_day(departures, after, zone),
        compared=VARIABLES[departures.variable].words if departures else "",
        spoke=what_each_check_saw(seen.of(case), zone),
        on_record=on_record(case, station, zone),
        beside=_beside(case),
        answers=_answers(case, village),
        before=_before(case, village),
        choices=offered,
        begins=datetime.fromtimestamp(about[0], zone),
        ends=datetime.fromtimestamp(about[1], zone),
        form=form,
        looked=looked,
        nobody=not station.household.memberships.filter(person__is_active=True).exists(),
        after=_after(case, village),
    )


def _after(case: Case, village: Village) -> Case | None:
    """The case that comes next on the desk."""
    waiting = list(Case.objects.of(village).open().recent(time.time()).select_related("station"))
    places = [place for place, one in enumerate(waiting) if one.pk == case.pk]
    left = waiting[places[0] + 1 :] if places else [one for one in waiting if one.pk != case.pk]
    return left[0] if left else None


def _beside(case: Case) -> list[Beside]:
    same_time = Q(begins_at__lte=case.ends_at, ends_at__gte=case.begins_at)
    others = Case.objects.filter(same_time, station=case.station).exclude(pk=case.pk).order_by("-weight")
    zone = case.station.village.clock
    return [
        Beside(one.pk, one.words, datetime.fromtimestamp(one.begins_at, zone), one.settled_at is not None)
        for one in others
    ]


def _answers(case: Case, village: Village) -> list[Heard]:
    about = Answer.objects.unheeded(village).filter(
        question__station=case.station, question__variable=case.variable
    )
    return [heard(one, village) for one in about.select_related("question", "made_by")]


def _before(case: Case, village: Village) -> list[Step]:
    made = for_steps(Decision.objects.filter(station=case.station))
    return [step(decision, village) for decision in made.order_by("-made_at", "-pk")[:8]]
