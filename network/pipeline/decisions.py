"""The steward's verbs. Each writes one decision, takes effect at once, and can be undone.

What a decision touches is marked in the same transaction and a worker is nudged; nothing else is computed
again.
"""

from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from network.models import Case, Decision, Observation
from network.models.work import Work
from network.pipeline import admission, blocks, effects, notices, work
from network.pipeline.admission import approve, pause, retire, send_back
from network.pipeline.effects import NotPossible
from network.pipeline.raise_cases import answer
from network.pipeline.stretches import FOREVER
from network.pipeline.tasks import nudge
from stations.models import Station

__all__ = ["NotPossible", "approve", "pause", "retire", "send_back", "settle", "undo"]

Kind = Decision.Kind
ABOUT_CASES = (
    Kind.KEEP,
    Kind.BELIEVE,
    Kind.REJECT,
    Kind.SET_ASIDE,
    Kind.CHANGE_UNIT,
    Kind.CALIBRATE,
    Kind.ASK,
)

_LASTING = (Kind.SET_ASIDE,)
"""Decisions that hold until undone, beyond the case they were made about."""

_STACKED = ((Kind.CHANGE_UNIT, Kind.CALIBRATE), admission.KINDS)
"""Kinds that stand on one another: the last made is undone first."""


@transaction.atomic
def settle(case: Case, kind: str, by: Any, reason: str = "", **given: Any) -> Decision:
    """Decide about all of a case.

    ``unit`` goes with CHANGE_UNIT, the one the device really sends; ``offset`` with CALIBRATE, what is to be
    added to each reading [canonical unit]. Raises NotPossible.
    """
    if kind not in ABOUT_CASES:
        raise NotPossible("That is not a decision about a case.")
    if kind == Kind.ASK and not reason:
        raise NotPossible("Say what you would like to know, so that the keeper can answer.")
    Station.objects.select_for_update().get(pk=case.station_id)  # one decision about a station at a time
    decision = Decision.objects.create(
        station=case.station,
        kind=kind,
        variable=case.variable,
        begins_at=case.begins_at,
        ends_at=FOREVER if kind in _LASTING else case.ends_at,
        parameters=effects.take(case, kind, given, by),
        reason=reason[:300],
        made_by=by,
    )
    _mark(decision)
    notices.tell(case.station, f"decision {decision.pk}", notices.of_decision(decision))
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
    for kinds in _STACKED:
        if decision.kind in kinds:
            return (
                Decision.objects.standing()
                .filter(station=decision.station, variable=decision.variable, kind__in=kinds)
                .filter(pk__gt=decision.pk)
                .first()
            )
    return None


def _mark(decision: Decision) -> None:
    """Mark what the decision touches; metadata it changed has been marked with the change."""
    village, first = decision.station.household.village_id, decision.begins_at
    newest = Observation.objects.filter(station=decision.station).aggregate(at=Max("observed_at"))["at"]
    last = max(first, min(decision.ends_at, newest or first))
    if decision.kind in (Kind.BELIEVE, Kind.REJECT, Kind.SET_ASIDE):
        work.mark_observations(village, first, last)
    if decision.variable:
        answer(decision)
        work.mark(village, Work.Stage.RAISE_CASES, blocks.blocks(first, last))
    nudge(village)
