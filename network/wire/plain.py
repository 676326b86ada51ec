"""Plain JSON and query strings, for a board that can build nothing better.

An observation is an object of channel names and values, ``{"temp": 21.4, "wet": {"value": 4, "unit": "%"}}``,
with its ``time`` (ISO 8601 or seconds since 1970), its ``age`` in seconds, or neither for now. Several make
a list, alone or as ``{"observations": [...]}``. A query string, ``age=60&temp=21.4``, is one observation.
A value that is null or empty is missing, and nothing is said of it.
"""

import re
from collections.abc import Callable
from datetime import datetime
from functools import partial
from math import isfinite
from typing import Any
from urllib.parse import parse_qsl
from zoneinfo import ZoneInfo

from network.science.clock import LARGEST_LEAD
from network.wire.said import (
    LONGEST_NAME,
    LONGEST_UNIT,
    Message,
    NotUnderstood,
    Said,
    Unreadable,
    as_message,
    moment,
    number,
    printable,
    quoted,
)

RESERVED = frozenset({"time", "age", "key", "observations"})
NUMBERS = frozenset({float, int})
HINT = 'Send an object of names and numbers, such as {"time": "2026-06-01T12:00:00Z", "temp": 21.4}.'

_PLUS_LOST = re.compile(r"(:\d\d(?:\.\d+)?) (\d\d:?\d\d)$")  # a query string turns + into a space

_bare: Callable[[tuple[str, float, str, int]], Said] = partial(tuple.__new__, Said)
"""A Said of what needs no looking at, at half the price of calling the class."""


def read(found: object, received_at: float, zone: ZoneInfo | None = None) -> Message:
    """Read parsed JSON: one observation or several."""
    refused: list[str] = []
    batch = found
    if isinstance(found, dict):
        batch = [found]
        if "observations" in found:
            batch = found["observations"]
            beside = [name for name in found if name not in ("observations", "key")]
            refused += [f"{quoted(name)} stands beside observations: put it inside each." for name in beside]
    if not isinstance(batch, list) or not batch:
        raise NotUnderstood("There is no observation in this report.", HINT)
    said: list[Said] = []
    sound = set(RESERVED)  # names that need no second look
    clockless = False
    for place, observation in enumerate(batch, 1):
        where = f"In observation {place}, " if len(batch) > 1 else ""
        try:
            if type(observation) is not dict:
                raise Unreadable("an observation must be an object of names and values")
            if RESERVED.issuperset(observation):
                raise Unreadable("no channel is named")
            at, relative = _when(observation, received_at, zone)
        except Unreadable as problem:
            refused.append(f"{where}nothing was kept: {problem}.")
            continue
        clockless |= relative
        if _plain(observation, sound):
            said += [
                _bare((name, value, "", at)) for name, value in observation.items() if name not in RESERVED
            ]
        else:
            _readings(observation, at, where, sound, said, refused)
    return as_message(said, clockless, refused, HINT)


def form(text: str, received_at: float, zone: ZoneInfo | None = None) -> Message:
    """Read a query string: one observation."""
    if "=" not in text:
        raise NotUnderstood(
            "The report is neither JSON nor name=value pairs.", "Send, say, temp=21.4&hum=40."
        )
    observation: dict[str, object] = {}
    twice = []
    for name, value in parse_qsl(text, keep_blank_values=True):
        if name in observation:
            twice.append(name)
        observation[name] = _PLUS_LOST.sub(r"\1+\2", value) if name == "time" else value
    if twice:
        raise NotUnderstood(
            f"{quoted(twice[0])} is given twice.",
            "Send one observation in a query string, or several as JSON.",
        )
    return read(observation, received_at, zone)


def _plain(observation: dict[str, Any], sound: set[str]) -> bool:
    """Whether there is nothing but known names and ordinary numbers in it, as in nearly every one there is."""
    values = observation.values()
    try:
        return (
            sound.issuperset(observation) and NUMBERS.issuperset(map(type, values)) and isfinite(sum(values))
        )
    except OverflowError:  # a whole number of hundreds of digits
        return False


def _readings(
    observation: dict[str, object],
    at: int,
    where: str,
    sound: set[str],
    said: list[Said],
    refused: list[str],
) -> None:
    """Add what one observation says, and a sentence for each value that could not be read."""
    for name, given in observation.items():
        if name in RESERVED or given is None or given == "":
            continue
        try:
            if not printable(name, LONGEST_NAME):
                raise Unreadable("a channel name needs 1 to 200 printable characters")
            sound.add(name)
            if type(given) is not dict:
                said.append(Said(name, number(given), "", at))
            elif given.get("value") is not None:
                said.append(Said(name, number(given["value"]), _unit(given), at))
            elif "value" not in given:
                raise Unreadable("an object needs a value, and may have a unit")
        except Unreadable as problem:
            refused.append(f"{where}{quoted(name)} was left out: {problem}.")


def _unit(given: dict[str, object]) -> str:
    unit = given.get("unit") or ""
    if not isinstance(unit, str) or (unit and not printable(unit, LONGEST_UNIT)):
        raise Unreadable(f"{quoted(unit)} is not a unit")
    return unit


def _when(observation: dict[str, object], received_at: float, zone: ZoneInfo | None) -> tuple[int, bool]:
    """The time an observation claims, and whether it leans on the time of receipt."""
    time, age = observation.get("time"), observation.get("age")
    if type(time) is int and age is None:
        return moment(time), False
    if time not in (None, ""):
        if age not in (None, ""):
            raise Unreadable("it has both a time and an age: send one of them")
        return _instant(time, received_at, zone), False
    back = 0.0 if age in (None, "") else number(age)
    if back < 0:
        raise Unreadable(f"its age, {quoted(age)}, is negative: five minutes ago is 300")
    return moment(received_at - back), True


def _instant(time: object, received_at: float, zone: ZoneInfo | None) -> int:
    if not isinstance(time, str) or (time[:1].isdecimal() and "-" not in time):
        return moment(number(time))
    try:
        written = datetime.fromisoformat(time)
    except ValueError:
        raise Unreadable(f"its time, {quoted(time)}, is not like 2026-06-01T12:00:00Z") from None
    if written.tzinfo is not None:
        return moment(written.timestamp())
    if zone is None:
        raise Unreadable(f"its time, {quoted(time)}, has no zone: put Z behind it if it is UTC")
    # The hour that clocks live through twice: a report cannot arrive before it was measured.
    first, second = (written.replace(tzinfo=zone, fold=fold).timestamp() for fold in (0, 1))
    return moment(second if first < second <= received_at + LARGEST_LEAD else first)
