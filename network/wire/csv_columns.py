"""Tables for backfill: which column is what, and what its rows then say.

A header names its unit in brackets, ``temp [F]`` or ``temp (°C)``, and so does whoever says otherwise.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple
from zoneinfo import ZoneInfo

from network.wire.csv_table import Row, Table, read
from network.wire.csv_times import guess_format, seconds
from network.wire.said import (
    LONGEST_NAME,
    LONGEST_UNIT,
    Message,
    NotUnderstood,
    Said,
    Unreadable,
    few,
    printable,
    quoted,
)

__all__ = ["Channel", "Mapping", "Row", "Table", "arrange", "propose", "read", "say"]

ROWS_A_MESSAGE = 288  # a day of five-minute observations
TIME = "time"
HINT = 'Say for each column what it is, such as "Outside" = "temp [F]" and "When" = "time".'

_TIME_HEADERS = (
    "time",
    "datetime",
    "date_time",
    "date time",
    "date/time",
    "timestamp",
    "observed_at",
    "date",
)
_NAMED = re.compile(r"(?P<name>.*?)\s*(?:\[(?P<square>[^]]*)\]|\((?P<round>[^)]*)\))?\s*")


class Channel(NamedTuple):
    """What a column becomes: a name and a unit, as a device would say them."""

    name: str
    unit: str


@dataclass(frozen=True)
class Mapping:
    """Which columns hold the time and which hold values."""

    time: tuple[str, ...]  # one column, or a date and a time of day
    channels: dict[str, Channel]  # by column
    time_format: str = ""  # a strptime format; '' to find out from the cells
    zone: str = ""  # where local times belong; '' for the station's own


def propose(columns: Sequence[str]) -> Mapping:
    """What a header by itself suggests."""
    headed = {_channel(column).name.lower(): column for column in reversed(columns)}
    candidates = [headed[header] for header in _TIME_HEADERS if header in headed]
    together = [headed[header] for header in ("date", TIME) if header in headed]
    times = together if len(together) == 2 else candidates[:1]
    others = {column: column for column in columns if column and column not in candidates}
    zone = next((f"[{_channel(column).unit}]" for column in times if _channel(column).unit), "")
    return arrange(columns, others | dict.fromkeys(times, TIME + zone))


def arrange(columns: Sequence[str], wanted: dict[str, str]) -> Mapping:
    """What somebody wants of each column: ``temp [F]``, or ``time``, or ``time [UTC]``; others are left out.

    Raises NotUnderstood where that names no time, no values, or a column that is not there.
    """
    if strange := [column for column in wanted if column not in columns]:
        raise NotUnderstood(f"There is no column {quoted(strange[0])}.", f"Choose from {', '.join(columns)}.")
    meant = {column: _channel(wanted[column]) for column in columns if wanted.get(column)}
    times = tuple(column for column, channel in meant.items() if channel.name == TIME)
    channels = {column: channel for column, channel in meant.items() if column not in times}
    if not times or len(times) > 2:
        raise NotUnderstood(f"{'More than two columns hold' if times else 'No column holds'} the time.", HINT)
    if not channels:
        raise NotUnderstood("No column holds values.", HINT)
    names = [channel.name for channel in channels.values()]
    for column, channel in channels.items():
        if names.count(channel.name) > 1:
            raise NotUnderstood(f"Two columns would become {quoted(channel.name)}.", HINT)
        if not printable(channel.name, LONGEST_NAME) or len(channel.unit) > LONGEST_UNIT:
            raise NotUnderstood(f"{quoted(column)} is too long or odd for a name and unit.", HINT)
    return Mapping(times, channels, zone=_zone(meant[times[0]].unit))


def say(table: Table, mapping: Mapping, zone: ZoneInfo) -> Iterator[Message]:
    """What the rows say, in messages of at most a day's rows; each refusal names its line.

    Local times belong to the mapping's zone, or to ``zone`` where it has none. Raises NotUnderstood, before
    the first message, where the times cannot be read at all.
    """
    places = [table.columns.index(column) for column in mapping.time]
    times = [" ".join(row.cells[place] for place in places) for row in table.rows]
    written = mapping.time_format or guess_format(times)
    instants = seconds(times, written, ZoneInfo(mapping.zone) if mapping.zone else zone)
    columns = [(table.columns.index(column), channel) for column, channel in mapping.channels.items()]
    refused = list(table.refused)
    for start in range(0, len(table.rows), ROWS_A_MESSAGE):
        said: list[Said] = []
        part = slice(start, start + ROWS_A_MESSAGE)
        for row, instant in zip(table.rows[part], instants[part], strict=True):
            if isinstance(instant, Unreadable):
                refused.append(f"Line {row.line} was left out: {instant}.")
                continue
            for place, channel in columns:
                try:
                    value = table.value(row.cells[place])
                except Unreadable as problem:
                    refused.append(f"In line {row.line}, {quoted(channel.name)} was left out: {problem}.")
                else:
                    if value is not None:
                        said.append(Said(channel.name, value, channel.unit, instant))
        yield Message(said, clockless=False, refused=few(refused))
        refused = []


def _channel(text: str) -> Channel:
    found = _NAMED.fullmatch(text)
    if found is None:  # a line break inside the name
        return Channel(text, "")
    return Channel(found["name"], (found["square"] or found["round"] or "").strip())


def _zone(name: str) -> str:
    """A zone's name if it is one; a header's brackets behind the time may hold anything."""
    try:
        return ZoneInfo(name).key if name else ""
    except (KeyError, ValueError, OSError):
        return ""
