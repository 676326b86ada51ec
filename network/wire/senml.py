"""SenML in JSON: the records of a pack become resolved values.

Source: Jennings et al. (2018), RFC 8428, sections 4 and 5; version numbers from Bormann (2021), RFC 9100.
A sum travels in its unit times seconds (section 4.2), which UCUM writes as ``W.s``; a record that has both
a value and a sum gives its value.
"""

import re
from functools import lru_cache
from math import isfinite

from network.wire.said import (
    LONGEST_NAME,
    LONGEST_UNIT,
    Message,
    NotUnderstood,
    Said,
    Unreadable,
    as_message,
    moment,
    printable,
    quoted,
)

ABSOLUTE = 2**28  # a smaller time counts from now (section 4.5.3)
VERSION = 10
SECONDARY_UNITS = 2**4  # RFC 9100, feature 4: the pack may use the units of RFC 8798
HINT = 'Send a list of records as in RFC 8428, such as [{"n": "temp", "u": "Cel", "v": 21.4}].'

Record = dict[str, object]

_BASE_FIELDS = {"bn": str, "bt": float, "bu": str, "bv": float, "bs": float, "bver": float}
_GOVERNING = frozenset(_BASE_FIELDS)
_OTHER_VALUES = frozenset({"vb", "vs", "vd"})
_FIELDS = _GOVERNING | _OTHER_VALUES | {"n", "u", "v", "s", "t", "ut"}
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9\-:./_]*")


def looks_like(found: object) -> bool:
    """Whether parsed JSON is a SenML pack rather than a list of plain observations."""
    if not isinstance(found, list) or not found or not isinstance(found[0], dict):
        return False
    first = found[0]
    return (
        "bn" in first or "bt" in first or isinstance(first.get("n"), str) or isinstance(first.get("u"), str)
    )


def read(pack: object, received_at: float) -> Message:
    """Resolve a pack. Raises NotUnderstood where a field that governs all the rest cannot be read."""
    if not isinstance(pack, list) or not pack:
        raise NotUnderstood("A SenML pack is a list of records, and this is none.", HINT)
    resolver = _Resolver(received_at)
    said: list[Said] = []
    refused: list[str] = []
    for place, record in enumerate(pack, 1):
        try:
            found = resolver.resolve(record)
        except Unreadable as problem:
            refused.append(f"Record {place} was left out: {problem}.")
        except OverflowError:
            refused.append(f"Record {place} was left out: it holds a number of too many digits.")
        else:
            if found is not None:
                said.append(found)
    return as_message(said, resolver.clockless, refused, HINT)


class _Resolver:
    """The base fields in force while the records go by."""

    def __init__(self, received_at: float) -> None:
        self.received_at = received_at
        self.clockless = False
        self.version: float | None = None
        self.name = ""
        self.time = 0.0
        self.unit = ""
        self.value: float | None = None
        self.sum: float | None = None

    def resolve(self, record: Record) -> Said | None:
        """What one record says; None for one that says nothing and only governs those after it."""
        if type(record) is not dict:
            raise Unreadable("it is not an object")
        if not _FIELDS.issuperset(record):
            _refuse_unknown(record)
        if not _GOVERNING.isdisjoint(record):
            self._govern(record)
            if _GOVERNING.issuperset(record):  # as the first record of section 5.1.7
                return None
        name = self.name + _text(record, "n", "")
        if not _is_name(name):
            raise Unreadable(f"{quoted(name)} is not a SenML name (letters, digits and - : . / _ only)")
        unit = _text(record, "u", self.unit)
        if unit and not printable(unit, LONGEST_UNIT):
            raise Unreadable(f"{quoted(unit)} is not a unit")
        time = self.time + _number(record, "t", 0.0)
        if time < ABSOLUTE:
            self.clockless = True
            time += self.received_at
        value = self._value(record)
        if value is None:
            value, unit = self._sum(record), f"{unit}.s" if unit else ""
        if value is None:
            return None
        if not isfinite(value):
            raise Unreadable("its value is not a finite number: leave a missing value out")
        return Said(name, value, unit, moment(time))

    def _value(self, record: Record) -> float | None:
        if not _OTHER_VALUES.isdisjoint(record):
            return _other_value(record)
        if "v" not in record:
            if "s" in record:
                return None
            if self.value is None and self.sum is None:
                raise Unreadable("it has no value")
            return self.value
        if record["v"] is None:  # not in the RFC, yet what a board sends for a sensor that gave nothing
            return None
        return _number(record, "v", 0.0) + (self.value or 0.0)

    def _sum(self, record: Record) -> float | None:
        if self.sum is None and "s" not in record:
            return None
        return _number(record, "s", 0.0) + (self.sum or 0.0)

    def _govern(self, record: Record) -> None:
        """Put a record's base fields in force."""
        for label, kind in _BASE_FIELDS.items():
            if label in record and not _is(kind, record[label]):
                words = "text" if kind is str else "a number"
                raise NotUnderstood(f"The base field {label} is {quoted(record[label])}, not {words}.", HINT)
        self.name = _text(record, "bn", self.name)
        self.unit = _text(record, "bu", self.unit)
        self.time = _number(record, "bt", self.time)
        if "bv" in record:
            self.value = _number(record, "bv", 0.0)
        if "bs" in record:
            self.sum = _number(record, "bs", 0.0)
        if "bver" in record:
            self._agree_on(_number(record, "bver", VERSION))

    def _agree_on(self, version: float) -> None:
        """Section 4.4: a newer version must not be used, and a pack has one version."""
        if self.version not in (None, version):
            raise NotUnderstood(
                "The records of this pack differ in bver.", "Give bver once, in the first record."
            )
        if not (0 < version <= VERSION or version == VERSION + SECONDARY_UNITS):
            raise NotUnderstood(
                f"SenML version {quoted(version)} is not understood.",
                f"Send version {VERSION} (the default), or {VERSION + SECONDARY_UNITS} for secondary units.",
            )
        self.version = version


def _refuse_unknown(record: Record) -> None:
    """Section 4.4: unknown fields are ignored, unless their label says that they must not be."""
    for label in record:
        if label.endswith("_") and label not in _FIELDS:
            raise NotUnderstood(f"The field {quoted(label)} must be understood, and is not.", "Leave it out.")


def _other_value(record: Record) -> float:
    """Values that are not numbers: booleans count as 1 and 0, text and data cannot be measured."""
    if "v" in record or len(_OTHER_VALUES.intersection(record)) > 1:
        raise Unreadable("it has more than one value")
    if "vb" not in record:
        raise Unreadable("its value is text or data, and only numbers and booleans are kept")
    if type(record["vb"]) is not bool:
        raise Unreadable(f"its boolean value is {quoted(record['vb'])}")
    return float(record["vb"])


def _is(kind: type, value: object) -> bool:
    if kind is str:
        return type(value) is str
    # Neither infinite nor NaN, nor more digits than a double holds.
    return isinstance(value, int | float) and type(value) is not bool and abs(value) < 1e308


def _text(record: Record, label: str, default: str) -> str:
    value = record.get(label, default)
    if type(value) is not str:
        raise Unreadable(f"its {label} is {quoted(value)}, which is not text")
    return value


def _number(record: Record, label: str, default: float) -> float:
    value = record.get(label, default)
    if type(value) is float:
        return value
    if type(value) is int:
        return float(value)
    raise Unreadable(f"its {label} is {quoted(value)}, which is not a number")


@lru_cache(maxsize=4096)
def _is_name(name: str) -> bool:
    return len(name) <= LONGEST_NAME and _NAME.fullmatch(name) is not None
