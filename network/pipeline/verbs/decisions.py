"""The steward's verbs. Each writes one decision, takes effect at once, and can be undone.

What a decision touches is marked in the same transaction and a worker is nudged; nothing else is computed
again.
"""

import time
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from network.models import Case, Decision, Observation
from network.models.work import Work
from network.pipeline.cases import effects
from network.pipeline.cases.effects import NotPossible
from network.pipeline.cases.raise_cases import answer
from network.pipeline.ledger import blocks, work
from network.pipeline.metadata.stretches import FOREVER
from network.pipeline.tasks import nudge
from network.pipeline.telling import notices
from network.pipeline.verbs import admission
from network.pipeline.verbs.admission import approve, pause, retire, send_back
from stations.models import Station

__all__ = ["NotPossible", "approve", "maintain", "pause", "retire", "send_back", "settle", "undo"]

Kind = Decision.Kind
ABOUT_CASES = (
    Kind.KEEP,
    Kind.BELIEVE,
    Kind.REJECT,
    Kind.SET_ASIDE,
    Kind.CHANGE_UNIT,
    Kind.CALIBRATE,
    Kind.FIX_CLOCK,
    Kind.MAINTENANCE,
    Kind.ASK,
)

_LASTING = (Kind.SET_ASIDE,)
"""Decisions that hold until undone, beyond the case they were made about."""

_STACKED = ((Kind.CHANGE_UNIT, Kind.CALIBRATE), (Kind.FIX_CLOCK,), admission.KINDS)
"""Kinds that stand on one another: the last made is undone first."""


@transaction.atomic
def settle(
    case: Case, kind: str, by: Any, reason: str = "", span: tuple[int, int] | None = None, **given: Any
) -> Decision:
    """Decide about a case: all of it, or the readings of a ``span`` [UTC epoch s], both ends included.

    ``unit`` goes with CHANGE_UNIT, the one the device really sends; ``offset`` with CALIBRATE, what is to be
    added to each reading [canonical unit]; ``fast_by`` with FIX_CLOCK, how far the clock runs ahead [s].
    Raises NotPossible.
    """
    if kind not in ABOUT_CASES:
        raise NotPossible("That is not a decision about a case.")
    if kind == Kind.ASK and not reason:
        raise NotPossible("Say what you would like to know, so that the keeper can answer.")
    begins_at, ends_at = span or (case.begins_at, case.ends_at)
    if span:
        _must_touch(case, begins_at, ends_at)
    if begins_at != case.begins_at:
        given["since"] = begins_at
    Station.objects.select_for_update().get(pk=case.station_id)  # one decision about a station at a time
    return _make(
        station=case.station,
        kind=kind,
        variable=case.variable,
        begins_at=begins_at,
        ends_at=FOREVER if kind in _LASTING else ends_at,
        parameters=effects.take(case, kind, given, by),
        reason=reason,
        by=by,
    )


def _must_touch(case: Case, begins_at: int, ends_at: int) -> None:
    """Refuse a span that is not of the case, or decides beforehand about readings that nobody has seen yet."""
    if ends_at < begins_at:
        raise NotPossible("The end lies before the beginning. Are the two swapped?")
    if begins_at > case.ends_at or ends_at < case.begins_at:
        raise NotPossible("None of this case’s readings lie between those two times.")
    if ends_at > max(case.ends_at, time.time() + blocks.DAY):
        raise NotPossible("Choose an end within a day from now: nobody has seen those readings yet.")


@transaction.atomic
def maintain(station: Station, by: Any, span: tuple[int, int], reason: str = "") -> Decision:
    """Note that somebody was at work on a station: what it said meanwhile is no weather. Raises NotPossible."""
    begins_at, ends_at = span
    if not begins_at <= ends_at <= time.time() + blocks.DAY:
        raise NotPossible("Work on a station begins before it ends, and ends within a day from now.")
    Station.objects.select_for_update().get(pk=station.pk)
    return _make(
        station=station,
        kind=Kind.MAINTENANCE,
        variable="",
        begins_at=begins_at,
        ends_at=ends_at,
        parameters={},
        reason=reason,
        by=by,
    )


def _make(*, reason: str, by: Any, **fields: Any) -> Decision:
    """Write a decision down, mark what it touches, and tell the keeper."""
    decision = Decision.objects.create(reason=reason[:300], made_by=by, **fields)
    _mark(decision)
    question = decision if decision.kind == Kind.ASK else None
    notices.tell(decision.station, f"decision {decision.pk}", notices.of_decision(decision), question)
    return decision


@transaction.atomic
def undo(decision: Decision, by: Any) -> Decision:
    """Take a decision back. It stays in the audit trail, with who undid it. Raises NotPossible."""
    Station.objects.select_for_update().get(pk=decision.station_id)
    decision = Decision.objects.select_related("station__household__village").get(pk=decision.pk)
    if decision.undone_at is not None:
        raise NotPossible("This decision has been undone already.")
    if (later := _standing_on(decision)) is not None:
        raise NotPossible(
            f"A later decision stands on this one ({later.get_kind_display()}): undo that one first."
        )
    decision.undone_by, decision.undone_at = by, timezone.now()
    decision.save(update_fields=["undone_by", "undone_at"])
    effects.take_back(decision)
    admission.take_back(decision)
    _mark(decision)
    notices.tell(decision.station, f"undone {decision.pk}", notices.of_undoing(decision))
    return decision


def _standing_on(decision: Decision) -> Decision | None:
    """A later decision that would be left hanging."""
    later = Decision.objects.standing().filter(station=decision.station, pk__gt=decision.pk)
    for kinds in _STACKED:
        if decision.kind in kinds:
            on_it = [
                one
                for one in later.filter(kind__in=kinds)
                if one.covers(decision.variable) or decision.covers(one.variable)
            ]
            return on_it[0] if on_it else None
    return None


def _mark(decision: Decision) -> None:
    """Mark what the decision touches; metadata it changed has been marked with the change."""
    village, first = decision.station.household.village_id, decision.begins_at
    newest = Observation.objects.filter(station=decision.station).aggregate(at=Max("observed_at"))["at"]
    last = max(first, min(decision.ends_at, newest or first))
    if decision.kind in (Kind.BELIEVE, Kind.REJECT, Kind.SET_ASIDE, Kind.MAINTENANCE):
        work.mark_observations(village, first, last)
    if decision.kind in ABOUT_CASES:
        answer(decision)
        work.mark(village, Work.Stage.RAISE_CASES, blocks.blocks(first, last))
        work.hurry(village)  # what was mended should not stay doubtful for the hour the long run else waits
    nudge(village)
