"""Taking a report in: it is stored with the mark of its work in one transaction, or not acknowledged."""

from base64 import urlsafe_b64encode
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from zoneinfo import ZoneInfo

from django.db import connection, transaction

from network.models import Report
from network.pipeline.ledger import work
from network.pipeline.metadata.tongue import from_epoch
from network.pipeline.reports.strangers import strangers
from network.pipeline.tasks import nudge
from network.pipeline.telling import notices
from network.science.clock import EARLIEST, LARGEST_LEAD
from network.wire import limits
from network.wire.limits import Refusal
from network.wire.message import Message, NotUnderstood, decode
from stations.models import Clock, Station

REPEAT_SECONDS = 60
"""[s] A board without a clock that sends the same text again within this time, or within half the time between
its reports if that is shorter, repeats itself: an answer got lost."""


@dataclass(frozen=True)
class Sender:
    """Who sends: what taking a report in needs to know of a station, fetched in one query unless its clock is set."""

    station: int
    village: int
    report_every: int
    state: str
    revoked: bool
    clocks: list[tuple[datetime, datetime | None, str, int]]

    @classmethod
    def by_key(cls, hash: str) -> "Sender | None":
        """The sender a device key belongs to, None where no station has it."""
        with connection.cursor() as cursor:
            cursor.execute(_SENDER, [hash])
            found = cursor.fetchone()
        if found is None:
            return None
        station, village, every, state, revoked, has_clocks = found
        return cls(station, village, every, state, bool(revoked), _clocks(station) if has_clocks else [])

    @classmethod
    def of(cls, station: Station) -> "Sender":
        """The station itself, for what comes by other ways than a device."""
        village = station.household.village_id
        return cls(station.pk, village, station.report_every, station.state, False, _clocks(station.pk))

    def zone(self, received_at: float) -> ZoneInfo | None:
        """The zone of times sent without one."""
        now = from_epoch(received_at)
        for begins_at, ends_at, zone, _ in reversed(self.clocks):
            if begins_at <= now and (ends_at is None or now < ends_at):
                return ZoneInfo(zone)
        return None

    @property
    def patience(self) -> int:
        """[s] How long after a report without a time the same text still repeats it."""
        return max(min(REPEAT_SECONDS, self.report_every // 2), 1)

    @property
    def fast_by(self) -> int:
        """[s] How far its clock is known to run ahead at the most."""
        return max((fast_by for *_, fast_by in self.clocks if fast_by > 0), default=0)

    @property
    def shift(self) -> int:
        """[s] How far true times may lie from claimed ones."""
        return max((abs(fast_by) + self.report_every for *_, fast_by in self.clocks), default=0)


_SENDER = """
    SELECT key.station_id, household.village_id, station.report_every, station.state, key.revoked_at IS NOT NULL,
           EXISTS (SELECT 1 FROM stations_clock AS clock WHERE clock.station_id = station.id)
    FROM stations_devicekey AS key
    JOIN stations_station AS station ON station.id = key.station_id
    JOIN stations_household AS household ON household.id = station.household_id
    WHERE key.hash = %s
"""


def _clocks(station: int) -> list[tuple[datetime, datetime | None, str, int]]:
    return list(Clock.objects.filter(station=station).values_list("begins_at", "ends_at", "zone", "fast_by"))


@dataclass(frozen=True)
class Receipt:
    """What became of a report: how many readings it held, whether it was new, what was not read, what not known."""

    readings: int
    new: bool
    refused: list[str]
    unknown: list[str]


def receive(sender: Sender, body: bytes, content_type: str, received_at: float) -> Receipt | Refusal:
    """Keep one report. ``received_at`` is UTC epoch seconds.

    Also what cannot be understood is kept, with the reason, and its keeper is told; a report that is too
    large is not.
    """
    if refusal := limits.too_large(len(body)):
        return refusal
    try:
        message = decode(body, content_type, received_at, sender.zone(received_at))
    except NotUnderstood as problem:
        return _keep_refused(sender, body, content_type, received_at, limits.malformed(problem))
    times = Counter([said[3] for said in message.said])
    on_its_clock = received_at + sender.fast_by
    sound = [at for at in times if EARLIEST <= at <= on_its_clock + LARGEST_LEAD]
    absurd = limits.absurd_time(message, on_its_clock) if len(sound) < len(times) else None
    if refusal := limits.too_many(message) or limits.too_long(sound) or (absurd if not sound else None):
        return _keep_refused(sender, body, content_type, received_at, refusal)
    new = _keep(sender, body, content_type, received_at, message, sound)
    kept = sum(times[at] for at in sound)
    refused = [*message.refused, *([absurd.error] if absurd else [])]
    return Receipt(kept, new, refused, strangers(sender.station, (said[0] for said in message.said)))


def _keep(
    sender: Sender, body: bytes, content_type: str, received_at: float, message: Message, times: Iterable[int]
) -> bool:
    """Store the report with the mark of its work; False when it was stored before."""
    first, last = min(times, default=None), max(times, default=None)
    turn = int(received_at // sender.patience) if message.clockless else None
    with transaction.atomic():
        if turn is not None and _just_said(sender, body, turn - 1, received_at):
            return False
        digest = _digest(body, turn)
        new = Report.keep(sender.station, received_at, content_type[:60], body, digest, first, last, "")
        if new and first is not None:
            work.mark_reports(sender.village, first - sender.shift, last + sender.shift)
            nudge(sender.village)
    return new


def _keep_refused(
    sender: Sender, body: bytes, content_type: str, received_at: float, refusal: Refusal
) -> Refusal:
    digest = _digest(body, int(received_at // REPEAT_SECONDS))
    with transaction.atomic():
        if Report.keep(
            sender.station, received_at, content_type[:60], body, digest, None, None, refusal.error[:300]
        ):
            station = Station.objects.select_related("household__village").get(pk=sender.station)
            notices.tell(station, f"refused {refusal.status}", f"{refusal.error} {refusal.hint}")
    return refusal


def _just_said(sender: Sender, body: bytes, turn: int, received_at: float) -> bool:
    """Whether the same came in a turn before, but less than the sender's patience ago."""
    since = received_at - sender.patience
    before = Report.objects.filter(station=sender.station, digest=_digest(body, turn))
    return before.filter(received_at__gt=since).exists()


def _digest(body: bytes, turn: int | None) -> str:
    """What makes a report the same: its content, and for a board without a clock the turn it came in."""
    content = body if turn is None else body + b"@%d" % turn
    return urlsafe_b64encode(sha256(content).digest()).decode().rstrip("=")
