"""The desk's list: stations that wait, what the checks doubt by weight, and work that failed."""

import time
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from network.models import Answer, Case, Decision, Work
from network.models.case import FORGOTTEN
from network.pipeline.ledger import blocks
from network.quality.verdict import VERDICT_WORDS
from network.science.variables import VARIABLES
from network.web.desk.access import steward_only
from network.web.desk.confidence import Seen, lately
from network.web.desk.crowd import Crowd, counting, crowd_of
from network.web.desk.trail import Heard, heard
from network.web.reasons import sentence
from stations.models import Station, Village

GOES_ON = 2 * blocks.HOUR
"""[s] A case whose last reading is not older than this still goes on."""

JUST_NOW = 15 * blocks.MINUTE
"""[s] So long after a decision the desk offers to undo it."""

MOST_SETTLED = 200


@dataclass(frozen=True)
class CaseLine:
    """One case as the desk lists it."""

    pk: int
    title: str
    since: datetime
    until: datetime
    state: str  # 'goes on', 'over', 'single', or '' where it may yet go on
    sentence: str
    verdict: str
    readings: int
    how_sure: str
    how_often: str
    asked_at: datetime | None
    answered: bool  # and no decision has followed the answer
    settled_at: datetime | None
    crowd: Crowd | None  # where many stations show it at once: they are told in this one line


@dataclass(frozen=True)
class Answered:
    """A keeper's answer that no decision has followed yet, and the case it is about."""

    answer: Heard
    station: Station
    about: str
    case: int | None  # None where nothing of it is in doubt any more


@dataclass(frozen=True)
class Failed:
    """A piece of the ledger's work that failed."""

    stage: str
    begins_at: datetime
    ends_at: datetime
    problem: str
    attempts: int
    again_at: datetime


@dataclass(frozen=True)
class DeskPage:
    """Everything network/desk.html may show."""

    village: Village
    waiting: list[Station]
    answered: list[Answered]
    cases: list[CaseLine]
    over: list[CaseLine]  # unsettled, and nothing of it was seen lately
    failed: list[Failed]
    settled: int
    just_decided: Decision | None
    stations: list[Station]


@dataclass(frozen=True)
class SettledPage:
    """Everything network/desk_settled.html may show."""

    village: Village
    cases: list[CaseLine]
    gone: list[CaseLine]  # over for some days, and nobody decided


@require_safe
@steward_only
def desk(request: HttpRequest, village: Village) -> HttpResponse:
    """What wants a steward's eye, weightiest first."""
    stations = list(Station.objects.of(village).select_related("household").order_by("name"))
    now = time.time()
    lines = _lines(Case.objects.of(village).open().recent(now).select_related("station"), village)
    page = DeskPage(
        village=village,
        waiting=[station for station in stations if station.state == Station.State.AWAITING],
        answered=_answered(village),
        cases=[line for line in lines if line.state != "over"],
        over=[line for line in lines if line.state == "over"],
        failed=[
            _failed(work, village) for work in Work.objects.filter(village=village).exclude(problem="")[:20]
        ],
        settled=Case.objects.of(village).exclude(settled_at=None).count(),
        just_decided=_just_decided(request, village),
        stations=stations,
    )
    return render(request, "network/desk.html", {"page": page})


@require_safe
@steward_only
def settled(request: HttpRequest, village: Village) -> HttpResponse:
    """What has been decided and is still on record, newest first; and what went away undecided."""
    cases = Case.objects.of(village).select_related("station")
    decided = cases.exclude(settled_at=None).order_by("-settled_at")
    gone = cases.filter(settled_at=None, ends_at__lt=time.time() - FORGOTTEN).order_by("-ends_at")
    page = SettledPage(village, _lines(decided[:MOST_SETTLED], village), _lines(gone[:MOST_SETTLED], village))
    return render(request, "network/desk_settled.html", {"page": page})


def _lines(cases: Iterable[Case], village: Village) -> list[CaseLine]:
    cases = list(cases)
    seen = lately(cases, village.clock)
    asked: dict[tuple[int, str], datetime] = {}
    questions = Decision.objects.standing().filter(
        station__household__village=village, kind=Decision.Kind.ASK
    )
    for one in questions.order_by("made_at"):
        asked[one.station_id, one.variable] = one.made_at
    about = Answer.objects.unheeded(village).values_list("question__station", "question__variable")
    answered = set(about)
    count = counting(village)
    lines, told = [], set()
    for case in cases:
        if case.pk not in told:
            crowd = crowd_of(case, cases, count) if case.settled_at is None else None
            told |= {one.pk for one in crowd.cases} if crowd else set()
            asked_at = asked.get((case.station_id, case.variable))
            heeded = (case.station_id, case.variable) not in answered
            lines.append(_line(case, seen[case.fault], asked_at, not heeded, village, crowd))
    return lines


def _line(
    case: Case, seen: Seen, asked_at: datetime | None, answered: bool, village: Village, crowd: Crowd | None
) -> CaseLine:
    since = datetime.fromtimestamp(case.begins_at, village.clock)
    return CaseLine(
        pk=case.pk,
        title=case.words.capitalize() if crowd else f"{case.station.name}, {case.words}",
        since=since,
        until=datetime.fromtimestamp(case.ends_at, village.clock),
        state=state_of(case, time.time()),
        sentence=sentence(case),
        verdict=VERDICT_WORDS[case.verdict],
        readings=case.readings,
        how_sure=seen.how_sure(case),
        how_often=seen.how_often(),
        asked_at=asked_at if asked_at and asked_at >= since else None,
        answered=answered,
        settled_at=case.settled_at,
        crowd=crowd,
    )


def state_of(case: Case, now: float) -> str:
    """Whether what it is about goes on, as far as is known."""
    if case.over(now):
        return "over"
    if case.readings == 1:
        return "single"
    return "goes on" if now - case.ends_at < GOES_ON else ""


def _answered(village: Village) -> list[Answered]:
    """What keepers answered lately: it wakes a case, also one that has left the list by its age."""
    unheeded = list(Answer.objects.unheeded(village).select_related("question__station", "made_by"))
    about = Case.objects.filter(pk__in=[one.question.parameters.get("case") for one in unheeded])
    there = set(about.values_list("pk", flat=True))
    return [_answer(one, village, there) for one in unheeded]


def _answer(answer: Answer, village: Village, there: set[int]) -> Answered:
    variable, case = VARIABLES.get(answer.question.variable), answer.question.parameters.get("case")
    return Answered(
        answer=heard(answer, village),
        station=answer.question.station,
        about=variable.words if variable else "the station itself",
        case=case if case in there else None,
    )


def _failed(work: Work, village: Village) -> Failed:
    return Failed(
        stage=work.get_stage_display(),
        begins_at=datetime.fromtimestamp(work.block, village.clock),
        ends_at=datetime.fromtimestamp(work.block + blocks.BLOCK, village.clock),
        problem=work.problem,
        attempts=work.attempts,
        again_at=datetime.fromtimestamp(work.due_at, village.clock),
    )


def _just_decided(request: HttpRequest, village: Village) -> Decision | None:
    """The reader's own last decision, while it is fresh: that is the one to take back."""
    mine = Decision.objects.standing().filter(station__household__village=village, made_by=request.user)
    latest = mine.select_related("station").order_by("-made_at", "-pk").first()
    fresh = latest is not None and time.time() - latest.made_at.timestamp() < JUST_NOW
    return latest if fresh else None
