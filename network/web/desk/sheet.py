"""A case on one sheet: the sentence, the evidence, what would change, and the decision."""

from dataclasses import dataclass
from datetime import date, datetime

from django.contrib import messages
from django.db.models import Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from network.models import Case, Decision
from network.pipeline import blocks, decisions
from network.pipeline.departures import departures_of
from network.pipeline.propose import propose
from network.quality.checks import CHECKS
from network.quality.checks.unit_hypothesis import CHECK as UNIT_HYPOTHESIS
from network.quality.verdict import VERDICT_WORDS
from network.science.variables import VARIABLES
from network.web.desk.access import steward_only
from network.web.desk.choices import Choice, choices
from network.web.desk.confidence import lately
from network.web.desk.evidence import (
    DepartureDay,
    Fact,
    Spoke,
    departures_by_day,
    on_record,
    what_each_check_saw,
)
from network.web.desk.forms import CaseForm
from network.web.desk.trail import Step, step
from network.web.moment import Moment, beginning
from network.web.place import nearest
from network.web.reasons import sentence
from network.web.series import series_of
from network.web.series_picture import picture
from network.web.series_table import table
from network.web.station import Chart
from stations.models import Station, Village

LONGEST = 3
"""Days a sheet draws: of a longer case the last."""


@dataclass(frozen=True)
class Beside:
    """Another case of the station at the same time."""

    pk: int
    variable: str
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
    verdict: str
    how_sure: str
    how_often: str
    sentence: str
    advice: str
    likeliest: str  # why the proposed decision is
    chart: Chart | None
    moment: Moment
    day: date
    span: str
    departures: list[DepartureDay]
    spoke: list[Spoke]
    on_record: list[Fact]
    beside: list[Beside]
    before: list[Step]  # earlier decisions about the station
    choices: list[Choice]
    form: CaseForm
    looked: bool  # whether the reader asked what would change


@require_http_methods(["GET", "HEAD", "POST"])
@steward_only
def case(request: HttpRequest, village: Village, case: int) -> HttpResponse:
    """Show a case; decide it; or, with the button for it, show what a decision would change."""
    stations = "station__household__village"
    found = Case.objects.of(village).select_related(stations).filter(pk=case).first()
    if found is None:
        return _gone(request, village, case)
    form = CaseForm(found, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid() and "look" not in request.POST:
        kind, reason = form.cleaned_data["kind"], form.cleaned_data["reason"].strip()
        try:
            made = decisions.settle(found, kind, request.user, reason, **form.given())
        except decisions.NotPossible as problem:
            form.add_error(None, str(problem))
        else:
            about = f"{found.station}, {VARIABLES[found.variable].words}"
            messages.success(
                request, f"Decided. {about}: {made.get_kind_display()}. The hub is looking again."
            )
            return redirect("desk", village.slug)
    page = _page(village, found, form, "look" in request.POST)
    return render(request, "network/desk_case.html", {"page": page}, status=400 if form.errors else 200)


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
    zone = village.clock
    fetched = Station.objects.select_related("household__village").prefetch_related(
        "placements__siting_notes", "instruments", "channels__instrument", "channels__calibrations"
    )
    station = fetched.get(pk=case.station_id)
    seen = lately([case], zone)[case.station_id, case.variable]
    moment = Moment(case.ends_at, zone, now=False)
    proposal = propose(case)
    another_unit = proposal.kind == Decision.Kind.CHANGE_UNIT
    return CasePage(
        village=village,
        station=station,
        case=case,
        variable=VARIABLES[case.variable].words,
        since=datetime.fromtimestamp(case.begins_at, zone),
        until=datetime.fromtimestamp(case.ends_at, zone),
        verdict=VERDICT_WORDS[case.verdict],
        how_sure=seen.how_sure(case),
        how_often=seen.how_often(),
        sentence=sentence(case),
        advice=(UNIT_HYPOTHESIS if another_unit else CHECKS[case.check_name]).advice,
        likeliest=proposal.why,
        chart=_chart(case, station, moment),
        moment=moment,
        day=moment.day,
        span="day" if case.ends_at - case.begins_at < blocks.DAY else "week",
        departures=departures_by_day(departures_of(case), zone),
        spoke=what_each_check_saw(seen.of(case), zone),
        on_record=on_record(case, station, zone),
        beside=_beside(case),
        before=_before(case, village),
        choices=choices(case, proposal, form),
        form=form,
        looked=looked,
    )


def _chart(case: Case, station: Station, moment: Moment) -> Chart | None:
    """The variable from the midnight before the case to the one after it, or of a long case the last days."""
    end = moment.midnight(1)
    first_day = datetime.fromtimestamp(case.begins_at - 1, moment.zone).date()
    begin = max(beginning(first_day, moment.zone), moment.midnight(1 - LONGEST))
    others = nearest(station, moment.local)
    drawn = series_of(station.pk, station.report_every, others, [case.variable], (begin, end), "readings")
    if not drawn or not len(drawn[0]):
        return None
    rows = table(drawn[0], "week", moment.zone)
    return Chart(case.variable, VARIABLES[case.variable].words, picture(drawn[0], moment.zone), rows)


def _beside(case: Case) -> list[Beside]:
    same_time = Q(begins_at__lte=case.ends_at, ends_at__gte=case.begins_at)
    others = Case.objects.filter(same_time, station=case.station).exclude(pk=case.pk).order_by("-weight")
    return [Beside(one.pk, VARIABLES[one.variable].words, one.settled_at is not None) for one in others]


def _before(case: Case, village: Village) -> list[Step]:
    made = Decision.objects.filter(station=case.station).select_related("station", "made_by", "undone_by")
    return [step(decision, village) for decision in made.order_by("-made_at", "-pk")[:8]]
