"""Stage: evidence becomes cases, one for each fault of a station over its whole span."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from network.models import Case, Decision, Evidence
from network.pipeline.cases import at_once
from network.pipeline.cases.faults import HARM, confidence, fault_of, follows, loudest, readings_by_check
from network.pipeline.ledger import blocks, work
from network.quality.verdict import WRONG
from stations.models import Station

APART = 3 * blocks.DAY
"""[s] Evidence further apart than this belongs to different cases."""

REST = 12 * blocks.HOUR
"""[s] So far a case that was answered may grow before it is asked about again."""

FEWEST_DOUBTFUL = 6
"""A case needs this many doubtful readings, or a wrong one: half an hour of five-minute reports."""

SETTLES = (Decision.Kind.KEEP, Decision.Kind.BELIEVE, Decision.Kind.REJECT, Decision.Kind.SET_ASIDE,
           Decision.Kind.CHANGE_UNIT, Decision.Kind.CALIBRATE, Decision.Kind.FIX_CLOCK,
           Decision.Kind.MAINTENANCE)  # fmt: skip
"""The decisions that settle a case."""

FIELDS = ("check_name", "seen_in", "begins_at", "ends_at", "readings", "verdict", "strain", "observed", "expected",
          "tolerance", "hint", "weight", "settled_at")  # fmt: skip


@dataclass
class Span:
    """A stretch of time that grows until nothing at its edges belongs to it any more."""

    begins_at: int
    ends_at: int


def raise_cases(village_id: int, block: int) -> Callable[[], None]:
    """Bring the cases around the block up to date: those of its evidence, grown to their whole span."""
    stations = list(Station.objects.filter(household__village=village_id).values_list("pk", flat=True))
    new: list[Case] = []
    old: list[Case] = []
    for station in stations:
        span = Span(block, block + blocks.BLOCK)
        evidence, cases = _around(station, span)
        decisions = list(Decision.objects.standing().filter(station=station, kind__in=SETTLES))
        new += _cases(station, evidence, decisions)
        old += cases
    return work.then(_keep, village_id, old, new)


def _around(station: int, span: Span) -> tuple[list[Evidence], list[Case]]:
    """The evidence and cases that touch the span, grown until they lie apart from all others."""
    while True:
        first, last = span.begins_at - APART, span.ends_at + APART
        touching = Q(station=station, begins_at__lte=last, ends_at__gte=first)
        evidence = list(
            Evidence.objects.filter(touching).order_by("begins_at", "ends_at", "variable", "check_name")
        )
        cases = list(Case.objects.filter(touching))
        begins_at = min((one.begins_at for one in (*evidence, *cases)), default=span.begins_at)
        ends_at = max((one.ends_at for one in (*evidence, *cases)), default=span.ends_at)
        if begins_at >= span.begins_at and ends_at <= span.ends_at:
            return evidence, cases
        span.begins_at, span.ends_at = min(begins_at, span.begins_at), max(ends_at, span.ends_at)


def _cases(station: int, evidence: list[Evidence], decisions: list[Decision]) -> list[Case]:
    by_fault: dict[tuple[str, str], list[Evidence]] = {}
    for one in evidence:
        by_fault.setdefault(fault_of(one), []).append(one)
    cases = [
        case
        for (variable, _), found in by_fault.items()
        for episode in _episodes(found)
        if (case := _case(station, variable, episode, decisions)) is not None
    ]
    return [case for case in cases if not any(follows(case, other, APART) for other in cases)]


def _episodes(evidence: Iterable[Evidence]) -> list[list[Evidence]]:
    """Evidence in order of time, parted where nothing was seen for long."""
    episodes: list[list[Evidence]] = []
    until = None
    for one in evidence:
        if until is None or one.begins_at > until + APART:
            episodes.append([])
            until = one.ends_at
        episodes[-1].append(one)
        until = max(until, one.ends_at)
    return episodes


def _case(station: int, variable: str, episode: list[Evidence], decisions: list[Decision]) -> Case | None:
    by_check = readings_by_check(episode)
    readings = max(by_check.values())
    verdict = max(one.verdict for one in episode)
    if verdict != WRONG and readings < FEWEST_DOUBTFUL:
        return None
    name = loudest(by_check)
    worst = max(
        (one for one in episode if one.check_name == name),
        key=lambda one: (one.strain, HARM.get(one.variable, 0.7), one.begins_at, one.variable),
    )
    weight = HARM.get(variable, 0.7) * confidence(verdict, by_check) * readings**0.5
    case = Case(
        station_id=station,
        variable=variable,
        check_name=name,
        seen_in=worst.variable,
        begins_at=min(one.begins_at for one in episode),
        ends_at=max(one.ends_at for one in episode),
        readings=readings,
        verdict=verdict,
        strain=worst.strain,
        observed=worst.observed,
        expected=worst.expected,
        tolerance=worst.tolerance,
        hint=worst.hint,
        weight=round(weight, 3),
    )
    case.settled_at = _settled_at(case, decisions)
    return case


def answer(decision: Decision) -> None:
    """Settle or reopen the cases a decision is about at once, as the stage will do again when it looks."""
    about = Case.objects.filter(station=decision.station)
    standing = list(Decision.objects.standing().filter(station=decision.station, kind__in=SETTLES))
    for case in about.filter(
        begins_at__lte=decision.ends_at + APART, ends_at__gte=decision.begins_at - APART
    ):
        settled_at = _settled_at(case, standing)
        if settled_at != case.settled_at:
            case.settled_at = settled_at
            case.save(update_fields=["settled_at"])


def _settled_at(case: Case, decisions: Iterable[Decision]) -> datetime | None:
    return min((one.made_at for one in decisions if _settles(one, case)), default=None)


def _settles(decision: Decision, case: Case) -> bool:
    """Whether the decision still answers the case, which may have grown since.

    A verdict that stands does so while the case goes on and the same check is the loudest. Any other answer
    lets the case rest while it has hardly grown; what still goes on after that is something to look at again.
    """
    began_then = decision.begins_at - REST <= case.begins_at <= decision.ends_at
    if not began_then or not _about(decision, case):
        return False
    if decision.kind == Decision.Kind.KEEP:
        return decision.parameters.get("check") == case.check_name
    return case.ends_at <= decision.ends_at + REST


def _about(decision: Decision, case: Case) -> bool:
    """Whether a decision is about what a case is about: about a station itself, what the same check said."""
    if case.variable:
        whole = decision.kind == Decision.Kind.MAINTENANCE or decision.variable
        return bool(whole) and decision.covers(case.variable)
    return not decision.variable and decision.parameters.get("check", case.check_name) == case.check_name


def _keep(village: int, old: list[Case], new: list[Case]) -> None:
    """A case that goes on keeps its row, and with it its address on the desk."""
    left = sorted(old, key=lambda case: case.begins_at)
    before: dict[int, Case] = {}
    for case in new:
        same = next((one for one in left if _touch(one, case)), None)
        if same is not None:
            left.remove(same)
            case.pk, case.at_once = same.pk, same.at_once
            before[same.pk] = same
    Case.objects.filter(pk__in=[case.pk for case in left]).delete()
    for case in new:
        if case.pk is None:
            case.save()
        elif any(getattr(before[case.pk], field) != getattr(case, field) for field in FIELDS):
            case.save(force_update=True)
    at_once.recount(village, {case.begins_at for case in (*old, *new)})


def _touch(one: Case, other: Case) -> bool:
    return one.fault == other.fault and one.begins_at <= other.ends_at and one.ends_at >= other.begins_at
