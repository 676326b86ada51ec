"""A station's life as a dated log: where it stood, what it measured with, how its numbers were read."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from network.models import Decision
from network.science.calibration import KINDS
from network.web.quantities import amount, plain, words_of
from stations.models import Calibration, Channel, Instrument, Station

LIFE = (Decision.Kind.APPROVE, Decision.Kind.SEND_BACK, Decision.Kind.PAUSE, Decision.Kind.RETIRE)
"""What a steward decided about the station itself; decisions about readings are on the desk."""


@dataclass(frozen=True)
class Entry:
    """What was done or began at one time."""

    at: datetime
    sentences: list[str]


def history(station: Station, zone: ZoneInfo) -> list[Entry]:
    """Newest first. The station is best fetched with all of its metadata."""
    together: dict[datetime, list[str]] = {}
    for at, sentence in sorted(_entries(station), key=lambda entry: entry[0], reverse=True):
        together.setdefault(at, []).append(sentence)
    return [Entry(at.astimezone(zone), list(dict.fromkeys(said))) for at, said in together.items()]


def _entries(station: Station) -> Iterator[tuple[datetime, str]]:
    if station.counts_from:
        yield station.counts_from, _("Counts in the village from here on.")
    if station.counts_until:
        yield station.counts_until, _("Counts no longer.")
    for earlier, later in pairwise(station.placements.all()):
        yield later.begins_at, _("Moved.") if earlier.ends_at else _("Placed anew.")
    for instrument in station.instruments.all():
        words = capfirst(words_of(instrument.variable))
        yield instrument.begins_at, f"{words}: {describe(instrument)}."
        if instrument.ends_at:
            yield instrument.ends_at, _("{variable}: instrument taken down.").format(variable=words)
    for channel in station.channels.all():
        yield from _channel(channel)
    for decision in station.decisions.all():
        if decision.kind in LIFE and not decision.undone_at:
            reason = f" {decision.reason}" if decision.reason else ""
            said = _("The steward decided: {what}.").format(what=_(decision.get_kind_display()))
            yield decision.made_at, f"{said}{reason}"


def _channel(channel: Channel) -> Iterator[tuple[datetime, str]]:
    for calibration in channel.calibrations.all():
        yield calibration.begins_at, _calibration(channel, calibration)
    if channel.begins_at > channel.instrument.begins_at:
        said = _("{variable} now comes as ‘{name}’ in {unit}.")
        words = capfirst(words_of(channel.instrument.variable))
        yield channel.begins_at, said.format(variable=words, name=channel.name, unit=channel.unit)


def _calibration(channel: Channel, calibration: Calibration) -> str:
    figures = ", ".join(
        f"{_(name.replace('_', ' '))} {plain(value)}" for name, value in calibration.parameters.items()
    )
    why = f" ({calibration.reason})" if calibration.reason else ""
    return _("{variable} calibrated, {kind}: {figures}{why}.").format(
        variable=capfirst(words_of(channel.instrument.variable)),
        kind=_(KINDS[calibration.kind].words),
        figures=figures,
        why=why,
    )


def describe(instrument: Instrument) -> str:
    """An instrument in a line: how it measures, its range, where it hangs."""
    name = instrument.variable
    parts = [_(instrument.principle) if instrument.principle else _("an instrument")]
    if instrument.range_low is not None and instrument.range_high is not None:
        ends = (amount(name, end) for end in (instrument.range_low, instrument.range_high))
        parts.append(_("{low} to {high}").format(**dict(zip(("low", "high"), ends, strict=True))))
    if instrument.height is not None:
        parts.append(_("{height} m above ground").format(height=plain(instrument.height)))
    if instrument.shield:
        parts.append(
            _("without a shield")
            if instrument.shield == "none"
            else _("in a {shield}").format(shield=_(instrument.shield))
        )
    return ", ".join(parts)
