"""A station's life as a dated log: where it stood, what it measured with, how its numbers were read."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

from network.models import Decision
from network.science.calibration import KINDS
from network.web.quantities import amount, words_of
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
        yield station.counts_from, "Counts in the village from here on."
    if station.counts_until:
        yield station.counts_until, "Counts no longer."
    for earlier, later in pairwise(station.placements.all()):
        yield later.begins_at, "Moved." if earlier.ends_at else "Placed anew."
    for instrument in station.instruments.all():
        yield (instrument.begins_at, f"{_capital(words_of(instrument.variable))}: {describe(instrument)}.")
        if instrument.ends_at:
            yield (instrument.ends_at, f"{_capital(words_of(instrument.variable))}: instrument taken down.")
    for channel in station.channels.all():
        yield from _channel(channel)
    for decision in station.decisions.all():
        if decision.kind in LIFE and not decision.undone_at:
            reason = f" {decision.reason}" if decision.reason else ""
            yield decision.made_at, f"The steward decided: {decision.get_kind_display()}.{reason}"


def _channel(channel: Channel) -> Iterator[tuple[datetime, str]]:
    for calibration in channel.calibrations.all():
        yield calibration.begins_at, _calibration(channel, calibration)
    if channel.begins_at > channel.instrument.begins_at:
        words = words_of(channel.instrument.variable)
        yield channel.begins_at, f"{_capital(words)} now comes as ‘{channel.name}’ in {channel.unit}."


def _calibration(channel: Channel, calibration: Calibration) -> str:
    figures = ", ".join(
        f"{name.replace('_', ' ')} {_plain(value)}" for name, value in calibration.parameters.items()
    )
    why = f" ({calibration.reason})" if calibration.reason else ""
    kind = KINDS[calibration.kind].words
    return f"{_capital(words_of(channel.instrument.variable))} calibrated, {kind}: {figures}{why}."


def describe(instrument: Instrument) -> str:
    """An instrument in a line: how it measures, its range, where it hangs."""
    name, parts = instrument.variable, [instrument.principle or "an instrument"]
    if instrument.range_low is not None and instrument.range_high is not None:
        parts.append(f"{amount(name, instrument.range_low)} to {amount(name, instrument.range_high)}")
    if instrument.height is not None:
        parts.append(f"{instrument.height:g} m above ground")
    if instrument.shield:
        parts.append("without a shield" if instrument.shield == "none" else f"in a {instrument.shield}")
    return ", ".join(parts)


def _plain(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
