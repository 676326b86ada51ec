"""What a device has said so far, in words: each channel as said and as understood, what was not, and why."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from network.models import Report
from network.pipeline.metadata.tongue import Tongue, from_epoch
from network.pipeline.reports.hear import Heard, hear
from network.quality.explanation import shown, typeset
from network.science.units import UnknownUnit, sign
from network.science.variables import VARIABLES
from network.wire.message import NotUnderstood, decode
from network.wire.said import few
from stations.calibrating import not_understood
from stations.likeness import last_part, perhaps
from stations.models import Channel

Said = dict[str, tuple[float, str]]


@dataclass(frozen=True)
class FirstReading:
    """The last word of one channel: as it was said, and as it is understood."""

    name: str
    said: str
    variable: str
    understood: str  # empty where it came to no value
    at: datetime


@dataclass(frozen=True)
class Stranger:
    """A name no channel bears, what it said last, and the silent channel that was perhaps meant."""

    name: str
    said: str
    meant: Channel | None

    @property
    def meant_words(self) -> str:
        return VARIABLES[self.meant.instrument.variable].words if self.meant else ""


@dataclass(frozen=True)
class Worked:
    """How pulses of a rotor became a speed, figure by figure."""

    name: str
    pulses: str
    period: str  # [s] '' where the device sends pulses a second
    rate: str  # pulses a second
    metres: str  # of wind for one pulse
    offset: str  # [m/s] '' for none
    understood: str


@dataclass(frozen=True)
class FirstWords:
    """All of it."""

    readings: tuple[FirstReading, ...]
    unknown: tuple[Stranger, ...]
    problems: tuple[tuple[str, str], ...]  # name and why it was not understood
    left_out: tuple[str, ...]  # sentences about values of the newest report that could not be read
    worked: tuple[Worked, ...]
    raw: tuple[Channel, ...]  # channels whose counts mean nothing yet


def first_words(tongue: Tongue, reports: list[Report], channels: list[Channel]) -> FirstWords:
    """From a station's newest understood reports, newest first, and its channels of now."""
    hearing = hear(tongue, reports)
    said, newest_said, left_out = _said(tongue, reports)
    newest = _last_of_each(hearing.heard)
    silent = {c.name: c for c in channels if c.name not in newest_said}
    unknown = tuple(
        Stranger(name, _as_said(name, said), silent.get(perhaps(name, silent))) for name in hearing.unknown
    )
    raw = tuple(channel for channel in channels if not_understood(channel))
    explained = {channel.name for channel in raw}
    return FirstWords(
        tuple(_reading(heard, said) for heard in newest),
        unknown,
        tuple((name, why) for name, why in hearing.problems.items() if last_part(name) not in explained),
        tuple(few(left_out)),
        tuple(worked for heard in newest if (worked := _worked(heard, said))),
        raw,
    )


def names_heard(tongue: Tongue, reports: list[Report]) -> set[str]:
    """All names in some reports, full ones and their last parts."""
    return set(_said(tongue, reports)[0])


def _said(tongue: Tongue, reports: list[Report]) -> tuple[Said, Said, list[str]]:
    """What each name said last and its unit, under its full name and its last part.

    Then the same of the newest report alone, and the sentences about what in that could not be read.
    """
    said: Said = {}
    newest: Said = {}
    refused: list[str] = []
    for report in reversed(reports):
        zone = tongue.zone(report.received_at)
        try:
            message = decode(bytes(report.body), report.content_type, report.received_at, zone)
        except NotUnderstood:
            continue
        newest, refused = {}, message.refused
        for one in sorted(message.said, key=lambda each: each.at):
            newest[one.name] = newest[last_part(one.name)] = (one.value, one.unit)
        said |= newest
    return said, newest, refused


def _last_of_each(heard: Iterable[Heard]) -> list[Heard]:
    """The newest of each channel, in the order of the catalogue."""
    newest: dict[str, Heard] = {}
    for one in heard:
        before = newest.get(one.channel.name)
        if before is None or before.seconds[-1] <= one.seconds[-1]:
            newest[one.channel.name] = one
    order = list(VARIABLES)
    return sorted(newest.values(), key=lambda one: order.index(one.channel.instrument.variable))


def _reading(heard: Heard, said: Said) -> FirstReading:
    channel = heard.channel
    at = from_epoch(float(heard.seconds[-1]))
    words = VARIABLES[channel.instrument.variable].words
    return FirstReading(
        channel.name, _as_said(channel.name, said, channel.unit), words, _understood(heard), at
    )


def _understood(heard: Heard) -> str:
    value = float(heard.values[-1])
    return typeset(shown(heard.channel.instrument.variable, value)) if np.isfinite(value) else ""


def _worked(heard: Heard, said: Said) -> Worked | None:
    made = max(heard.channel.calibrations.all(), key=lambda each: each.begins_at, default=None)
    pulses, _ = said.get(heard.channel.name, (float("nan"), ""))
    if made is None or made.kind != "rotor" or not np.isfinite(pulses):
        return None
    period, offset = made.parameters.get("period"), made.parameters.get("offset") or 0
    return Worked(
        heard.channel.name,
        f"{pulses:g}",
        f"{period:g}" if period else "",
        f"{pulses / (period or 1):.3g}",
        f"{made.parameters['metres_per_pulse']:g}",
        typeset(f"{offset:g}") if offset else "",
        _understood(heard),
    )


def _as_said(name: str, said: Said, unit: str = "") -> str:
    value, own = said.get(name, (float("nan"), ""))
    return typeset(f"{value:g} {_sign(own or unit)}".strip()) if np.isfinite(value) else ""


def _sign(unit: str) -> str:
    try:
        return sign(unit) if unit else ""
    except UnknownUnit:
        return unit
