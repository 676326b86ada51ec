"""How much one report may hold and which times it may claim, and what a device is told beyond that."""

from collections.abc import Sequence
from dataclasses import dataclass

from network.science.clock import EARLIEST, LARGEST_LEAD
from network.wire.said import Message, NotUnderstood

MOST_BYTES = 1_000_000
MOST_READINGS = 10_000  # observations times channels: a day of five-minute reports from 34 channels
LONGEST_SPAN = 31 * 86_400
"""[s] Between the first and the last time of one report: what speaks of a time must be found without reading all."""


@dataclass(frozen=True)
class Refusal:
    """Why a report is not taken, in the one shape every refusal has."""

    status: int
    error: str
    hint: str


def too_large(size: int) -> Refusal | None:
    """Judge a body's size [bytes]."""
    if size <= MOST_BYTES:
        return None
    return Refusal(413, f"This report has {size} bytes; {MOST_BYTES} is the most.", "Send it in parts.")


def too_many(report: Message) -> Refusal | None:
    """Judge how many readings a message holds."""
    count = len(report.said)
    if count <= MOST_READINGS:
        return None
    return Refusal(
        413, f"This report has {count} readings; {MOST_READINGS} is the most.", "Send it in parts."
    )


def absurd_time(report: Message, received_at: float) -> Refusal | None:
    """Judge the times a message claims against the moment it arrived [UTC epoch seconds]."""
    times = [said.at for said in report.said]
    if times and min(times) < EARLIEST:
        return Refusal(
            422,
            f"This report claims the time {min(times)} in seconds since 1970, which is before the year 2000.",
            "Set the board's clock first, or send an age in seconds, or no time at all.",
        )
    if times and max(times) > received_at + LARGEST_LEAD:
        ahead = round((max(times) - received_at) / 60)
        return Refusal(
            422,
            f"This report claims a time {ahead} minutes from now; {LARGEST_LEAD // 60} is the most.",
            "Check the board's clock and its zone: a time with Z behind it must be UTC.",
        )
    return None


def too_long(times: Sequence[int]) -> Refusal | None:
    """Judge the span that a message's times reach over."""
    days = (max(times) - min(times)) / 86_400 if times else 0.0
    if days * 86_400 <= LONGEST_SPAN:
        return None
    return Refusal(
        422,
        f"This report reaches over {days:.0f} days; {LONGEST_SPAN // 86_400} is the most.",
        "Send it in parts.",
    )


def malformed(problem: NotUnderstood) -> Refusal:
    """The answer to a report of which nothing can be used."""
    return Refusal(400, problem.sentence, problem.hint)
