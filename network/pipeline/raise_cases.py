"""Stage: evidence becomes cases, one for each fault of one variable at one station over its whole span."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from network.models import Case, Decision, Evidence
from network.pipeline import blocks, work
from network.quality.verdict import WRONG
from stations.models import Station

APART = 3 * blocks.DAY
"""[s] Evidence further apart than this belongs to different cases."""

REST = 12 * blocks.HOUR
"""[s] So far a case that was answered may grow before it is asked about again."""

FEWEST_DOUBTFUL = 6
"""A case needs this many doubtful readings, or a wrong one: half an hour of five-minute reports."""

HARM = {"air_temperature": 1.0, "rain_amount": 1.0, "dew_point": 0.3, "sea_level_pressure": 0.5}
"""How much a false reading of a variable spoils what others see; 0.7 where not named. Common practice."""

SETTLES = (Decision.Kind.KEEP, Decision.Kind.BELIEVE, Decision.Kind.REJECT, Decision.Kind.SET_ASIDE,
           Decision.Kind.CHANGE_UNIT, Decision.Kind.CALIBRATE)  # fmt: skip
"""The decisions that settle a case."""

FOLLOWS = {
    "dew_point": ("air_temperature", "relative_humidity"),
    "sea_level_pressure": ("air_temperature", "station_pressure"),
    "station_pressure": ("air_temperature",),
}
"""What is false because something else is: a case about the first is part of an open case about the others."""

FIELDS = ("check_name", "begins_at", "ends_at", "readings", "verdict", "strain", "observed", "expected",
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
    return work.then(_keep, old, new)


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
    by_variable: dict[str, list[Evidence]] = {}
    for one in evidence:
        by_variable.setdefault(one.variable, []).append(one)
    cases = [
        case
        for variable, found in by_variable.items()
        for episode in _episodes(found)
        if (case := _case(station, variable, episode, decisions)) is not None
    ]
    return [case for case in cases if not any(_follows(case, other) for other in cases)]


def _follows(case: Case, other: Case) -> bool:
    """Whether the case is no more than what the other one brings about."""
    return (
        other.variable in FOLLOWS.get(case.variable, ())
        and other.begins_at - APART <= case.begins_at
        and case.ends_at <= other.ends_at + APART
    )


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
    by_check: dict[str, int] = {}
    for one in episode:
        by_check[one.check_name] = by_check.get(one.check_name, 0) + one.readings
    readings = max(by_check.values())
    verdict = max(one.verdict for one in episode)
    if verdict != WRONG and readings < FEWEST_DOUBTFUL:
        return None
    loudest = max(by_check, key=lambda name: (by_check[name], name))
    worst = max(
        (one for one in episode if one.check_name == loudest), key=lambda one: (one.strain, one.begins_at)
    )
    confidence = 1.0 if verdict == WRONG else 0.5
    case = Case(
        station_id=station,
        variable=variable,
        check_name=loudest,
        begins_at=min(one.begins_at for one in episode),
        ends_at=max(one.ends_at for one in episode),
        readings=readings,
        verdict=verdict,
        strain=worst.strain,
        observed=worst.observed,
        expected=worst.expected,
        tolerance=worst.tolerance,
        hint=next((one.hint for one in episode if one.hint), ""),
        weight=round(HARM.get(variable, 0.7) * confidence * readings**0.5, 3),
    )
    case.settled_at = _settled_at(case, decisions)
    return case


def answer(decision: Decision) -> None:
    """Settle or reopen the cases a decision is about at once, as the stage will do again when it looks."""
    about = Case.objects.filter(station=decision.station, variable=decision.variable)
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
    same = decision.begins_at - APART <= case.begins_at <= decision.ends_at
    if decision.variable != case.variable or not same:
        return False
    if decision.kind == Decision.Kind.KEEP:
        return decision.parameters.get("check") == case.check_name
    return case.ends_at <= decision.ends_at + REST


def _keep(old: list[Case], new: list[Case]) -> None:
    """A case that goes on keeps its row, and with it its address on the desk."""
    left = sorted(old, key=lambda case: case.begins_at)
    before: dict[int, Case] = {}
    for case in new:
        same = next((one for one in left if _touch(one, case)), None)
        if same is not None:
            left.remove(same)
            case.pk = same.pk
            before[same.pk] = same
    Case.objects.filter(pk__in=[case.pk for case in left]).delete()
    for case in new:
        if case.pk is None:
            case.save()
        elif any(getattr(before[case.pk], field) != getattr(case, field) for field in FIELDS):
            case.save(force_update=True)


def _touch(one: Case, other: Case) -> bool:
    return (
        (one.station_id, one.variable) == (other.station_id, other.variable)
        and one.begins_at <= other.ends_at
        and one.ends_at >= other.begins_at
    )
