"""From reports, as received, to what each channel said and when: in true time, in the variable's unit."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np

from network.models import Report
from network.pipeline.metadata.stretches import epoch
from network.pipeline.metadata.tongue import Floats, NotUnderstoodUnit, Times, Tongue, understand
from network.science.clock import EARLIEST, LARGEST_LEAD
from network.science.variables import VARIABLES
from network.wire.message import NotUnderstood, decode
from stations.models import Channel


@dataclass(frozen=True)
class Heard:
    """One channel's words understood: true times [UTC epoch s] and values in the canonical unit."""

    channel: Channel
    seconds: Times
    values: Floats


@dataclass
class Hearing:
    """What a station's reports came to."""

    heard: list[Heard] = field(default_factory=list)
    unknown: dict[str, float] = field(default_factory=dict)  # names no channel bears, with the last value
    problems: dict[str, str] = field(default_factory=dict)  # names that were not understood, and why
    times: Times = field(
        default_factory=lambda: np.empty(0, np.int64)
    )  # every observation's, also unknown ones


def hear(tongue: Tongue, reports: Iterable[Report], since: int = 0, only: str | None = None) -> Hearing:
    """Understand the reports of one station, in whatever order they come.

    What is older than ``since`` [UTC epoch s] is left out, also of a report that says newer things too: how
    observations were packed into reports must make no difference. ``only`` is the one name to listen to.
    """
    spoken = _collect(tongue, reports, only)
    hearing = Hearing()
    times = []
    for (name, unit), (at, said) in sorted(spoken.items()):
        claimed, values = np.array(at, np.int64), np.array(said, np.float64)
        seconds = tongue.true_times(claimed)
        order = np.lexsort((values, seconds))
        order = order[seconds[order] >= since]
        seconds, values = _once(seconds[order], values[order])
        times.append(seconds)
        for channel, held in _channels(tongue, name, seconds):
            if channel is None:
                hearing.unknown[name] = float(values[held][-1])
                continue
            try:
                understood = understand(channel, unit, values[held], seconds[held])
                hearing.heard.append(Heard(channel, seconds[held], understood))
            except NotUnderstoodUnit as problem:
                hearing.problems[name] = str(problem)
    if times:
        hearing.times = np.unique(np.concatenate(times))
    return hearing


def as_said(tongue: Tongue, reports: Iterable[Report], channel: Channel) -> tuple[Times, Floats, str]:
    """What a channel's device said, before any calibration: true times, numbers, and the unit they came in."""
    short = _short(channel.name)
    for (name, unit), (at, said) in sorted(_collect(tongue, reports).items()):
        if channel.name in (name, _short(name)) or name == short:
            seconds, values = tongue.true_times(np.array(at, np.int64)), np.array(said, np.float64)
            order = np.lexsort((values, seconds))
            seconds, values = _once(seconds[order], values[order])
            return seconds, values, unit or channel.unit
    return np.empty(0, np.int64), np.empty(0), channel.unit


def _short(name: str) -> str:
    """The last part of a name that says whose it is."""
    return name.rpartition(":")[2].rpartition("/")[2]


def _once(seconds: Times, values: Floats) -> tuple[Times, Floats]:
    """Without what was said again, sorted as it is: a running total told twice has not stood still between."""
    new = np.ones(len(seconds), bool)
    new[1:] = (np.diff(seconds) != 0) | (np.diff(values) != 0)
    return seconds[new], values[new]


def _collect(
    tongue: Tongue, reports: Iterable[Report], only: str | None = None
) -> dict[tuple[str, str], tuple[list[int], list[float]]]:
    """Every (name, unit) with its claimed times and values."""
    spoken: dict[tuple[str, str], tuple[list[int], list[float]]] = {}
    for report in reports:
        try:
            message = decode(
                bytes(report.body), report.content_type, report.received_at, tongue.zone(report.received_at)
            )
        except NotUnderstood:
            continue  # kept with its problem; the keeper was told when it came
        latest = report.received_at + tongue.fast_by + LARGEST_LEAD
        for name, value, unit, at in message.said:
            if not EARLIEST <= at <= latest:
                continue  # no clock says this; the device was told
            if only is not None and only not in (name, _short(name)):
                continue
            words = spoken.get((name, unit))
            if words is None:
                words = spoken[name, unit] = ([], [])
            words[0].append(at)
            words[1].append(value)
    return spoken


def _channels(tongue: Tongue, name: str, seconds: Times) -> Iterator[tuple[Channel | None, Times]]:
    """Which channel of this name held at which of the times; None where none did."""
    short = _short(name)
    left = np.ones(len(seconds), bool)
    for channel in tongue.channels.get(name) or tongue.channels.get(short, []):
        held = left & (seconds >= epoch(channel.begins_at)) & (seconds < epoch(channel.ends_at))
        if held.any():
            yield channel, np.flatnonzero(held)
            left &= ~held
    if left.any():
        yield None, np.flatnonzero(left)


def gather(
    heard: Iterable[Heard], begins_at: int, ends_at: int
) -> tuple[Times, dict[str, Floats], np.ndarray]:
    """One column for each variable, over the times within the span.

    Where a station said two different values of one variable for one instant, the smallest is kept,
    whatever the order they came in, and the variable's bit is set in the third array returned.
    """
    within = []
    for one in heard:
        inside = (one.seconds >= begins_at) & (one.seconds < ends_at)
        if inside.any():
            within.append((one.channel.instrument.variable, one.seconds[inside], one.values[inside]))
    times = np.unique(np.concatenate([s for _, s, _ in within])) if within else np.empty(0, np.int64)
    columns: dict[str, Floats] = {}
    said_twice = np.zeros(len(times), np.int64)
    for name, seconds, values in within:
        column = columns.setdefault(name, np.full(len(times), np.nan))
        low, high = _extremes(np.searchsorted(times, seconds), values, len(times))
        both = np.isfinite(column) & np.isfinite(low)
        twice = (low != high) & np.isfinite(low) | both & (column != low)
        said_twice[twice] |= 1 << list(VARIABLES).index(name)
        columns[name] = np.fmin(column, low)
    return times, columns, said_twice


def _extremes(index: Times, values: Floats, length: int) -> tuple[Floats, Floats]:
    """The smallest and the largest value at each index, NaN where there is none."""
    low, high = np.full(length, np.nan), np.full(length, np.nan)
    np.fmin.at(low, index, values)
    np.fmax.at(high, index, values)
    return low, high
