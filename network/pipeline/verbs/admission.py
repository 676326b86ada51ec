"""Whether a station counts in its village: the steward's verbs about its life."""

import time
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Max, Min
from django.utils import timezone

from network.models import Decision, Observation
from network.pipeline.cases.effects import NotPossible
from network.pipeline.ledger import work
from network.pipeline.metadata.stretches import FOREVER, epoch
from network.pipeline.tasks import nudge
from network.pipeline.telling import notices
from stations.models import Station

Kind, State = Decision.Kind, Station.State
KINDS = (Kind.APPROVE, Kind.SEND_BACK, Kind.PAUSE, Kind.RETIRE)


@transaction.atomic
def approve(station: Station, by: Any, since: datetime | None = None, reason: str = "") -> Decision:
    """Let a station count in its village from a day on.

    By default from where it has stood since, or for one that counted before from when it first did.
    """
    station = _locked(station)
    placement = station.placements.current().first()
    if placement is None:
        raise NotPossible("The station stands nowhere yet: its keeper must place it first.")
    if station.state == State.LIVE:
        raise NotPossible("The station counts already: there is nothing to approve.")
    since = since or station.counts_from or placement.begins_at
    if since > timezone.now():
        raise NotPossible("It can count from today on at the latest: choose an earlier day.")
    return _live(station, Kind.APPROVE, by, reason, State.LIVE, since, None)


@transaction.atomic
def send_back(station: Station, by: Any, reason: str) -> Decision:
    """Return a station to its keeper with what is missing."""
    station = _locked(station)
    if not reason.strip():
        raise NotPossible("Say what is missing, so that the keeper can mend it.")
    if station.state != State.AWAITING:
        raise NotPossible("Only a station that awaits approval can be sent back: pause it instead.")
    back_to = State.DRAFT if station.counts_from is None else State.PAUSED
    return _live(station, Kind.SEND_BACK, by, reason, back_to, station.counts_from, station.counts_until)


@transaction.atomic
def pause(station: Station, by: Any, reason: str = "") -> Decision:
    """Let a station count no longer, for now; its past stays."""
    station = _locked(station)
    if station.state != State.LIVE:
        raise NotPossible("Only a station that counts can be paused.")
    return _live(station, Kind.PAUSE, by, reason, State.PAUSED, station.counts_from, _now(station))


@transaction.atomic
def retire(station: Station, by: Any, reason: str = "") -> Decision:
    """End a station's life: its keys work no longer, its record stays."""
    station = _locked(station)
    if station.counts_from is None:
        raise NotPossible("The station does not count yet: send it back instead.")
    if station.state == State.RETIRED:
        raise NotPossible("The station is retired already.")
    until = station.counts_until or _now(station)
    return _live(station, Kind.RETIRE, by, reason, State.RETIRED, station.counts_from, until)


def take_back(decision: Decision) -> None:
    """Give the station back the life, and the keys, that the decision took."""
    if decision.kind in KINDS:
        station, before = decision.station, decision.parameters
        _become(station, before["state"], _moment(before["from"]), _moment(before["until"]))
        station.keys.filter(pk__in=before["keys"]).update(revoked_at=None)


def _locked(station: Station) -> Station:
    """The station as it is now; nobody else decides about it meanwhile."""
    return (
        Station.objects.select_for_update(of=("self",))
        .select_related("household__village")
        .get(pk=station.pk)
    )


def _now(station: Station) -> datetime:
    """Until when a station counts that stops now, also where it was to begin only later."""
    return max(timezone.now(), station.counts_from or timezone.now())


def _live(
    station: Station,
    kind: str,
    by: Any,
    reason: str,
    state: str,
    counts_from: datetime | None,
    counts_until: datetime | None,
) -> Decision:
    working = station.keys.filter(revoked_at=None)
    keys = list(working.values_list("pk", flat=True)) if kind == Kind.RETIRE else []
    before = {
        "state": station.state,
        "from": station.counts_from and station.counts_from.isoformat(),
        "until": station.counts_until and station.counts_until.isoformat(),
        "keys": keys,
        "since": counts_from and counts_from.isoformat(),
    }
    working.filter(pk__in=keys).update(revoked_at=timezone.now())
    _become(station, state, counts_from, counts_until)
    at = int(time.time())
    decision = Decision.objects.create(
        station=station,
        kind=kind,
        begins_at=at,
        ends_at=at,
        parameters=before,
        reason=reason[:300],
        made_by=by,
    )
    notices.tell(station, f"decision {decision.pk}", notices.of_decision(decision))
    nudge(station.household.village_id)
    return decision


def _become(
    station: Station, state: str, counts_from: datetime | None, counts_until: datetime | None
) -> None:
    """Change the station's life and mark what the village now sees otherwise.

    Past the signal that watches metadata, which would understand all its reports anew.
    """
    changed = []
    if station.counts_from != counts_from:
        changed += [epoch(station.counts_from), epoch(counts_from)]
    if station.counts_until != counts_until:
        changed += [epoch(station.counts_until), epoch(counts_until)]
    station.state, station.counts_from, station.counts_until = state, counts_from, counts_until
    Station.objects.filter(pk=station.pk).update(
        state=state, counts_from=counts_from, counts_until=counts_until
    )
    readings = Observation.objects.filter(station=station)
    span = readings.aggregate(first=Min("observed_at"), last=Max("observed_at"))
    begins_at = min(changed, default=FOREVER)
    if span["first"] is not None and begins_at <= span["last"]:
        work.mark_observations(station.household.village_id, max(begins_at, span["first"]), span["last"])


def _moment(stored: str | None) -> datetime | None:
    return None if stored is None else datetime.fromisoformat(stored)
