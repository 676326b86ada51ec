"""A table of old readings on its way in: by the same door as every report, so that nothing is special about it."""

import json
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from zoneinfo import ZoneInfo

from network.models import Report
from network.pipeline.intake.receive import Receipt, Sender, receive
from network.pipeline.ledger import blocks
from network.pipeline.metadata.tongue import Tongue
from network.pipeline.reports.hear import Hearing, hear
from network.science.clock import EARLIEST, LARGEST_LEAD
from network.wire import csv_columns, csv_times
from network.wire.csv_columns import Mapping, Table
from network.wire.plain import RESERVED
from network.wire.said import NotUnderstood, Said, Unreadable
from stations.models import Station

JSON = "application/json"
MOST_READINGS = 4000
"""In one report; a day of many columns becomes several."""


@dataclass(frozen=True)
class Plan:
    """A table, what each of its columns is to become, and the reports that say so."""

    station: Station
    table: Table
    mapping: Mapping
    zone: ZoneInfo
    said: list[Said]
    refused: list[str]  # each names its line

    def bodies(self) -> Iterator[bytes]:
        """Reports of a UTC day each: the same table gives the same bytes, and a longer one only new days."""
        days: dict[int, list[Said]] = defaultdict(list)
        for one in self.said:
            days[one.at // blocks.DAY].append(one)
        for _, said in sorted(days.items()):
            for start in range(0, len(said), MOST_READINGS):
                yield _body(said[start : start + MOST_READINGS])

    def hearing(self) -> Hearing:
        """What the hub would understand of it."""
        now = time.time()
        reports = [Report(body=body, content_type=JSON, received_at=now) for body in self.bodies()]
        return hear(Tongue.of(self.station), reports)


def plan(station: Station, file: Path, wanted: dict[str, str], zone: str = "", time_format: str = "") -> Plan:
    """Read a table; ``wanted`` says of a column what it is where its header does not. Raises NotUnderstood."""
    table = csv_columns.read(file)
    mapping = replace(arranged(table.columns, wanted), time_format=time_format)
    if zone:
        mapping = replace(mapping, zone=zone)
    own = Sender.of(station).zone(time.time()) or station.village.clock
    place = ZoneInfo(mapping.zone) if mapping.zone else own
    table = _within_reason(table, mapping, place)
    said: list[Said] = []
    refused: list[str] = []
    for message in csv_columns.say(table, mapping, own):
        said += message.said
        refused += message.refused
    return Plan(station, table, mapping, place, said, refused)


def arranged(columns: list[str], wanted: dict[str, str]) -> Mapping:
    """What the header suggests, except where ``wanted`` says otherwise; what it gives no name is left out."""
    try:
        proposed = csv_columns.propose(columns)
    except NotUnderstood:  # no column is headed like a time
        guess = {column: column for column in columns if column}
    else:
        guess = {column: _text(*channel) for column, channel in proposed.channels.items()}
        if not any(_text_is_time(text) for text in wanted.values()):
            guess |= dict.fromkeys(proposed.time, _text(csv_columns.TIME, proposed.zone))
    mapping = csv_columns.arrange(columns, guess | wanted)
    for channel in mapping.channels.values():
        if channel.name in RESERVED:
            raise NotUnderstood(
                f"A channel cannot be called {channel.name!r}.", "Give the column another name."
            )
    return mapping


@dataclass
class Outcome:
    """What came of a backfill."""

    reports: int = 0
    new: int = 0
    readings: int = 0  # in new reports
    problems: list[str] = field(default_factory=list)


def run(plan: Plan, progress: Callable[[int], None] = lambda readings: None) -> Outcome:
    """Hand the plan's reports in, one after the other; ``progress`` is told the readings of each."""
    sender = Sender.of(plan.station)
    outcome = Outcome()
    for body in plan.bodies():
        answer = receive(sender, body, JSON, time.time())
        outcome.reports += 1
        if not isinstance(answer, Receipt):
            outcome.problems.append(f"{answer.error} {answer.hint}")
            continue
        outcome.new += answer.new
        outcome.readings += answer.readings if answer.new else 0
        progress(answer.readings)
    return outcome


def _within_reason(table: Table, mapping: Mapping, zone: ZoneInfo) -> Table:
    """The rows whose times can be; the others are refused by their line."""
    places = [table.columns.index(column) for column in mapping.time]
    times = [" ".join(row.cells[place] for place in places) for row in table.rows]
    written = mapping.time_format or csv_times.guess_format(times)
    latest = time.time() + LARGEST_LEAD
    kept, refused = [], list(table.refused)
    for row, at in zip(table.rows, csv_times.seconds(times, written, zone), strict=True):
        if isinstance(at, Unreadable) or EARLIEST <= at <= latest:
            kept.append(row)
        else:
            why = "before the year 2000" if at < EARLIEST else "in the future"
            refused.append(f"Line {row.line} was left out: its time lies {why}.")
    if not kept:
        raise NotUnderstood(
            "No row has a time between the year 2000 and now.", "Is the right column the time?"
        )
    return replace(table, rows=kept, refused=refused)


def _body(said: list[Said]) -> bytes:
    """A report as a board would send it: an object for each row."""
    rows: list[dict[str, object]] = []
    for name, value, unit, at in said:
        if not rows or rows[-1]["time"] != at or name in rows[-1]:
            rows.append({"time": at})
        rows[-1][name] = {"value": value, "unit": unit} if unit else value
    return json.dumps({"observations": rows}, ensure_ascii=False, separators=(",", ":")).encode()


def _text(name: str, unit: str) -> str:
    return f"{name} [{unit}]" if unit else name


def _text_is_time(text: str) -> bool:
    return text.partition("[")[0].strip() == csv_columns.TIME
