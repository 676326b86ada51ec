"""Which of a station's channels was perhaps meant by a name that none of them bears."""

from collections.abc import Iterable
from difflib import get_close_matches

ALIKE = 0.6
"""Share of letters in common from which two names are alike; 0.6 is difflib's own."""


def last_part(name: str) -> str:
    """A SenML name without its base: a channel answers to either."""
    return name.rpartition(":")[2].rpartition("/")[2]


def bears(name: str, known: Iterable[str]) -> bool:
    """Whether one of the known names is this one."""
    return name in known or last_part(name) in known


def perhaps(name: str, known: Iterable[str]) -> str:
    """The known name most like this one, '' where none is: letters in another order, another case, a part of it."""
    by_fold = {each.casefold(): each for each in sorted(known)}
    said = last_part(name).casefold()
    parts = [fold for fold in by_fold if min(len(fold), len(said)) > 2 and (fold in said or said in fold)]
    found = get_close_matches(said, by_fold, 1, ALIKE) or sorted(parts, key=len, reverse=True)
    return by_fold[found[0]] if found else ""
