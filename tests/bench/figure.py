"""A measured figure, and how two things are timed so that a noisy machine harms both alike."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median

from tqdm import tqdm


@dataclass(frozen=True)
class Figure:
    """One row of the table."""

    name: str
    value: float
    unit: str
    reference: float | None
    ratio: float | None
    bar: str
    """What it should reach, in the words of the table."""


def taking_turns(
    name: str, rounds: int, ours: Callable[[], float], reference: Callable[[], float]
) -> tuple[float, float, float]:
    """Medians of what the two return, and the median of the rounds' own ratios ours / reference."""
    measured = []
    for turn in tqdm(range(rounds), desc=name, delay=2, leave=False):
        if turn % 2:
            theirs, own = reference(), ours()
        else:
            own, theirs = ours(), reference()
        measured.append((own, theirs))
    ratios = [own / theirs for own, theirs in measured]
    return median(own for own, _ in measured), median(theirs for _, theirs in measured), median(ratios)


def seconds(work: Callable[[], object]) -> float:
    """How long the work takes."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def timed(work: Callable[[], object], times: int = 1) -> Callable[[], float]:
    """The work as something that returns how long it took [s], the mean of so many ``times`` in a row."""

    def repeated() -> None:
        for _ in range(times):
            work()

    return lambda: seconds(repeated) / times
