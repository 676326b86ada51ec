"""What each channel of a station said last, as sent and as understood."""

from dataclasses import dataclass

from network.models import Report
from network.pipeline.metadata.stretches import epoch
from network.pipeline.metadata.tongue import Tongue
from network.pipeline.reports.hear import hear
from network.science.clock import EARLIEST, LARGEST_LEAD
from network.wire.message import NotUnderstood, decode
from stations.models import Channel, Station

REPORTS = 4
"""How many of the newest reports are listened to: a board may send some channels in one and some in the next."""


@dataclass(frozen=True)
class Word:
    """One name a device used: its last raw value, and what that was taken to mean."""

    name: str
    raw: float | None  # None: the channel is set up and has not been heard
    unit: str  # as the device named it, or the channel's own
    at: int | None  # [UTC epoch s] the time the device claimed
    channel: Channel | None  # None: no channel bears this name
    value: float  # in the canonical unit of the channel's variable; NaN where not understood
    problem: str


def last_words(station: Station, at: int) -> list[Word]:
    """Every channel in force and every name nobody knows, from the newest reports up to ``at``.

    The station is best fetched with ``channels__calibrations``, ``channels__instrument`` and ``clocks``.
    """
    tongue = Tongue.of(station)
    understood = Report.objects.filter(station=station, problem="", received_at__lte=at)
    reports = list(understood.order_by("-received_at")[:REPORTS])
    hearing = hear(tongue, reversed(reports))
    by_time = sorted(
        hearing.heard, key=lambda one: int(one.seconds[-1])
    )  # one channel may be said in two units
    values = {one.channel.pk: float(one.values[-1]) for one in by_time}
    said = _said(tongue, reports)
    words = []
    for channel in station.channels.all():
        if epoch(channel.begins_at) <= at < epoch(channel.ends_at):
            name = next((n for n in said if n == channel.name or _short(n) == channel.name), channel.name)
            raw, unit, when = said.pop(name, (None, "", None))
            problem = hearing.problems.get(name, "")
            value = values.get(channel.pk, float("nan"))
            words.append(Word(channel.name, raw, unit or channel.unit, when, channel, value, problem))
    strangers = [
        Word(name, raw, unit, when, None, float("nan"), "")
        for name, (raw, unit, when) in said.items()
        if name in hearing.unknown
    ]
    return words + strangers


def _said(tongue: Tongue, reports: list[Report]) -> dict[str, tuple[float, str, int]]:
    """The newest raw value, unit and claimed time of every name."""
    said: dict[str, tuple[float, str, int]] = {}
    for report in reports:
        zone = tongue.zone(report.received_at)
        try:
            message = decode(bytes(report.body), report.content_type, report.received_at, zone)
        except NotUnderstood:
            continue
        for name, value, unit, at in message.said:
            sound = EARLIEST <= at <= report.received_at + tongue.fast_by + LARGEST_LEAD
            if sound and (name not in said or at > said[name][2]):
                said[name] = (value, unit, at)
    return said


def _short(name: str) -> str:
    """A SenML name without its base: a channel answers to either."""
    return name.rpartition(":")[2].rpartition("/")[2]
