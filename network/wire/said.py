"""What came off the wire: values as the device said them, and sentences about what could not be read."""

from dataclasses import dataclass
from functools import lru_cache
from math import isfinite
from typing import NamedTuple

LONGEST_NAME = 200  # characters, of a channel name as a device spells it
LONGEST_UNIT = 50
MOST_SENTENCES = 20  # a keeper reads no more than that about one report
LATEST = 253402300799  # the last second of the year 9999, past which no calendar here reaches


class Said(NamedTuple):
    """One value, as the device said it."""

    name: str  # the device's own channel name
    value: float  # true and false become 1 and 0
    unit: str  # '' when the device named none
    at: int  # UTC epoch seconds: the time the device claims


@dataclass(frozen=True)
class Message:
    """Everything one report says."""

    said: list[Said]
    clockless: bool  # a time in it counts from the moment of receipt, so receipt decides it
    refused: list[str]  # a sentence for each record that could not be read, the rest being fine


class NotUnderstood(ValueError):
    """Nothing of a report can be used. Both sentences are for whoever programs the board."""

    def __init__(self, sentence: str, hint: str) -> None:
        super().__init__(f"{sentence} {hint}")
        self.sentence = sentence
        self.hint = hint


class Unreadable(ValueError):
    """One record or value cannot be read; its text is the sentence that says why."""


def as_message(said: list[Said], clockless: bool, refused: list[str], hint: str) -> Message:
    """The message, unless refusals are all there is: then nothing was understood."""
    if refused and not said:
        raise NotUnderstood(refused[0], hint)
    return Message(said, clockless, few(refused))


def few(refused: list[str]) -> list[str]:
    """As many sentences as anyone reads, and how many more there were."""
    if len(refused) <= MOST_SENTENCES:
        return refused
    return [*refused[:MOST_SENTENCES], f"{len(refused) - MOST_SENTENCES} more could not be read."]


def moment(seconds: float) -> int:
    """Epoch seconds, rounded to the second, if a calendar can hold them."""
    if not 0 <= seconds <= LATEST:
        raise Unreadable(
            f"its time, {quoted(seconds)}, is on no calendar: send seconds since 1970, not milliseconds"
        )
    return round(seconds)


def number(value: object) -> float:
    """A finite number from what JSON, a query string or a table cell may hold."""
    try:
        if isinstance(value, str) and "_" in value:  # Python reads 1_000, nobody else does
            raise ValueError
        found = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise Unreadable(f"{quoted(value)} is not a number") from None
    except OverflowError:
        found = float("inf")
    if not isfinite(found):
        raise Unreadable(f"{quoted(value)} is not a finite number: leave a missing value out, or send null")
    return found


@lru_cache(maxsize=4096)
def printable(text: str, longest: int) -> bool:
    """Whether a database, a page and a spreadsheet can all hold this name or unit."""
    return 0 < len(text) <= longest and text.isprintable()


def quoted(value: object) -> str:
    """A device's own words, short and safe to print inside a sentence."""
    if isinstance(value, list | dict):  # may nest too deeply to print
        return "a list" if isinstance(value, list) else "an object"
    if isinstance(value, int) and value.bit_length() > 200:  # Python refuses to print the longest
        return "a number of very many digits"
    text = ascii(value) if isinstance(value, str) and not value.isprintable() else repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."
