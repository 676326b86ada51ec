"""The steward's verbs. Each writes one decision, takes effect at once, and can be undone.

What a decision touches is marked in the same transaction; nothing else is computed again.
"""

import time
from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from network.models import Case, Decision
from network.pipeline import blocks, notices, work
from network.pipeline.stretches import FOREVER, epoch
from network.pipeline.tongue import from_epoch
from stations.models import Calibration, Channel, Station

Kind = Decision.Kind


class NotPossible(ValueError):
    """The decision cannot be made; the sentence says why and what to do."""


@transaction.atomic
def settle(case: Case, kind: str, by: Any, reason: str = "", **parameters: Any) -> Decision:
    """Decide about all of a case.

    ``unit`` goes with CHANGE_UNIT; ``calibration`` and ``figures`` (its kind and parameters) with CALIBRATE.
    Raises NotPossible.
    """
    effect = _EFFECTS.get(kind, _nothing_more)
    decision = Decision(
        station=case.station,
        kind=kind,
        variable=case.variable,
        begins_at=case.begins_at,
        ends_at=FOREVER if kind in _LASTING else case.ends_at,
        parameters=effect(case, parameters),
        reason=reason,
        made_by=by,
    )
    decision.save()
    _take_effect(decision)
    notices.tell(case.station, f"decision {decision.pk}", notices.of_decision(decision))
    return decision


@transaction.atomic
def undo(decision: Decision, by: Any) -> None:
    """Take a decision back. It stays in the audit trail, with who undid it."""
    if decision.undone_at is not None:
        raise NotPossible("This decision has been undone already.")
    decision.undone_by, decision.undone_at = by, timezone.now()
    decision.save(update_fields=["undone_by", "undone_at"])
    _UNDO.get(decision.kind, _nothing_to_undo)(decision)
    _take_effect(decision)


@transaction.atomic
def approve(station: Station, by: Any, since: datetime | None = None, reason: str = "") -> Decision:
    """Let a station count in its village from a day on: by default from where it has stood since."""
    placement = station.placements.current().first()
    if placement is None:
        raise NotPossible("The station stands nowhere yet: its keeper must place it first.")
    return _live(station, Kind.APPROVE, by, reason, Station.State.LIVE, since or placement.begins_at, None)


@transaction.atomic
def send_back(station: Station, by: Any, reason: str) -> Decision:
    """Return a station to its keeper with what is missing."""
    if not reason:
        raise NotPossible("Say what is missing, so that the keeper can mend it.")
    return _live(station, Kind.SEND_BACK, by, reason, Station.State.DRAFT, None, None)


@transaction.atomic
def pause(station: Station, by: Any, reason: str = "") -> Decision:
    """Let a station count no longer, for now; its past stays."""
    return _stop(station, Kind.PAUSE, Station.State.PAUSED, by, reason)


@transaction.atomic
def retire(station: Station, by: Any, reason: str = "") -> Decision:
    """End a station's life; its record stays."""
    station.keys.filter(revoked_at=None).update(revoked_at=timezone.now())
    return _stop(station, Kind.RETIRE, Station.State.RETIRED, by, reason)


def _stop(station: Station, kind: str, state: str, by: Any, reason: str) -> Decision:
    if station.counts_from is None:
        raise NotPossible("The station does not count yet: send it back instead.")
    return _live(station, kind, by, reason, state, station.counts_from, timezone.now())


def _live(
    station: Station,
    kind: str,
    by: Any,
    reason: str,
    state: str,
    counts_from: datetime | None,
    counts_until: datetime | None,
) -> Decision:
    before = {
        "state": station.state,
        "from": _stored(station.counts_from),
        "until": _stored(station.counts_until),
    }
    station.state, station.counts_from, station.counts_until = state, counts_from, counts_until
    station.save()
    at = int(time.time())
    decision = Decision.objects.create(
        station=station, kind=kind, begins_at=at, ends_at=at, parameters=before, reason=reason, made_by=by
    )
    notices.tell(station, f"decision {decision.pk}", notices.of_decision(decision))
    return decision


def _stored(moment: datetime | None) -> str | None:
    return None if moment is None else moment.isoformat()


def _take_effect(decision: Decision) -> None:
    """Mark what the decision touches."""
    village, first = decision.station.household.village_id, decision.begins_at
    last = min(decision.ends_at, int(time.time()) + blocks.BLOCK)
    if decision.kind in (Kind.BELIEVE, Kind.REJECT):
        work.mark_observations(village, first, last)
    elif decision.kind == Kind.SET_ASIDE:
        work.mark_verdicts(village, first, last)
    else:
        work.mark(village, work.Work.Stage.RAISE_CASES, blocks.blocks(first, last))


def _change_unit(case: Case, parameters: dict[str, Any]) -> dict[str, Any]:
    """From the case's beginning on, the variable's channel speaks another unit."""
    unit = parameters.get("unit")
    if not unit:
        raise NotPossible("Say which unit the device really sends.")
    since = from_epoch(case.begins_at)
    old = _channel(case)
    if old.begins_at >= since:  # it never spoke the other unit
        before, old.unit = old.unit, unit
        old.save()
        return {"unit": unit, "before": before, "channel": old.pk}
    ended, old.ends_at = old.ends_at, since
    old.save()
    new = Channel.objects.create(
        station=old.station,
        instrument=old.instrument,
        name=old.name,
        unit=unit,
        begins_at=since,
        ends_at=ended,
    )
    return {"unit": unit, "channel": old.pk, "new_channel": new.pk, "ended": _stored(ended)}


def _unchange_unit(decision: Decision) -> None:
    parameters = decision.parameters
    channel = Channel.objects.get(pk=parameters["channel"])
    if "new_channel" in parameters:
        Channel.objects.get(pk=parameters["new_channel"]).delete()
        ended = parameters["ended"]
        channel.ends_at = ended and datetime.fromisoformat(ended)
    else:
        channel.unit = parameters["before"]
    channel.save()


def _calibrate(case: Case, parameters: dict[str, Any]) -> dict[str, Any]:
    """From the case's beginning on, other arithmetic holds."""
    made = Calibration(
        channel=_channel(case),
        begins_at=from_epoch(case.begins_at),
        kind=parameters.get("calibration", "gain_offset"),
        parameters=parameters.get("figures", {}),
        reason="decided by the steward",
    )
    made.full_clean()
    made.save()
    return {"calibration": made.pk, "kind": made.kind, "figures": made.parameters}


def _uncalibrate(decision: Decision) -> None:
    Calibration.objects.get(pk=decision.parameters["calibration"]).delete()


def _unlive(decision: Decision) -> None:
    station, before = decision.station, decision.parameters
    station.state = before["state"]
    station.counts_from = before["from"] and datetime.fromisoformat(before["from"])
    station.counts_until = before["until"] and datetime.fromisoformat(before["until"])
    station.save()


def _channel(case: Case) -> Channel:
    channels = Channel.objects.filter(station=case.station, instrument__variable=case.variable)
    for channel in channels:
        if epoch(channel.begins_at) <= case.ends_at < epoch(channel.ends_at):
            return channel
    raise NotPossible("No channel carries this variable itself: decide about what it is derived from.")


def _nothing_more(case: Case, parameters: dict[str, Any]) -> dict[str, Any]:
    return {}


def _nothing_to_undo(decision: Decision) -> None:
    """The decision is its own effect: without it, all is as before."""


_LASTING = (Kind.SET_ASIDE,)
"""Decisions that hold until undone, beyond the case they were made about."""

_EFFECTS: dict[str, Callable[[Case, dict[str, Any]], dict[str, Any]]] = {
    Kind.CHANGE_UNIT: _change_unit,
    Kind.CALIBRATE: _calibrate,
}
_UNDO: dict[str, Callable[[Decision], None]] = {
    Kind.CHANGE_UNIT: _unchange_unit,
    Kind.CALIBRATE: _uncalibrate,
    **dict.fromkeys((Kind.APPROVE, Kind.SEND_BACK, Kind.PAUSE, Kind.RETIRE), _unlive),
}
