"""What a steward's standing decisions make of verdicts: the last word over all evidence."""

from collections.abc import Iterable, Mapping

import numpy as np

from network.models import Decision
from network.quality.checks import CHECKS
from network.quality.verdict import (
    DERIVED_FROM,
    GOOD,
    MISSING,
    OTHERWISE_GOOD,
    REASONS_FROM,
    WRONG,
    inherit,
    reasons_of,
    verdict_of,
)

STEWARD = 1 << 30
"""The bit of a mark that says a steward had the last word; the checks have the bits below."""

MAINTAINED = 1 << 52
"""The bit that says why: somebody was at work on the instrument."""

THE_STEWARD, AT_WORK = "steward", "maintenance"
"""What is named beside the checks as the reason for a verdict."""

Kind = Decision.Kind
SPEAKS = {Kind.BELIEVE: GOOD, Kind.REJECT: WRONG, Kind.MAINTENANCE: WRONG}
"""The decisions that change a verdict, and what they make of it."""


def overrule(
    marks: Mapping[str, np.ndarray], station: int, seconds: np.ndarray, decisions: Iterable[Decision]
) -> dict[str, np.ndarray]:
    """A station's marks, each from its own evidence, with the steward's word over them, oldest decision first.

    Of a span that is rejected, the readings the checks found good stay good: it was made about the others.
    While somebody was at work on it, all readings are wrong.
    What is derived follows its parents as the steward left them, unless the steward spoke of it too.
    Readings that are missing stay so.
    """
    spoken = _standing(station, decisions, SPEAKS)
    return _say(inherit(_say(marks, seconds, spoken)), seconds, spoken)


def trusted(
    trust: Mapping[str, np.ndarray], station: int, seconds: np.ndarray, decisions: Iterable[Decision]
) -> dict[str, np.ndarray]:
    """Which readings may stand in for the neighbours: what the steward rejected or set aside may not."""
    trust = dict(trust)
    for decision in _standing(station, decisions, (*SPEAKS, Kind.SET_ASIDE)):
        believed = decision.kind == Kind.BELIEVE
        for variable in trust:
            if believed and decision.variable and decision.covers(variable):
                trust[variable] = np.where(_within(decision, seconds), True, trust[variable])
            elif not believed and _reaches(decision, variable):
                trust[variable] = trust[variable] & ~_within(decision, seconds)
    return trust


def maintained(variable: str, station: int, seconds: np.ndarray, decisions: Iterable[Decision]) -> np.ndarray:
    """Where somebody was at work on it, so that nothing a check says counts; shape of ``seconds``."""
    return _where(Kind.MAINTENANCE, variable, station, seconds, decisions)


def rejected(variable: str, station: int, seconds: np.ndarray, decisions: Iterable[Decision]) -> np.ndarray:
    """The spans in which a steward rejected what was doubted, all of their readings, shape of ``seconds``.

    Which of them were doubted may be the long run's word, and on that no comparison may depend.
    """
    return _where(Kind.REJECT, variable, station, seconds, decisions)


def set_aside(variable: str, station: int, seconds: np.ndarray, decisions: Iterable[Decision]) -> np.ndarray:
    """Where a steward keeps this variable of this station out of the maps, or one it is derived from.

    Shape of ``seconds``.
    """
    return _where(Kind.SET_ASIDE, variable, station, seconds, decisions)


def _where(
    kind: str, variable: str, station: int, seconds: np.ndarray, decisions: Iterable[Decision]
) -> np.ndarray:
    out = np.zeros(len(seconds), bool)
    for decision in _standing(station, decisions, (kind,)):
        if _reaches(decision, variable):
            out |= _within(decision, seconds)
    return out


def _say(
    marks: Mapping[str, np.ndarray], seconds: np.ndarray, decisions: Iterable[Decision]
) -> dict[str, np.ndarray]:
    said = dict(marks)
    for decision in decisions:
        why = STEWARD | (MAINTAINED if decision.kind == Kind.MAINTENANCE else 0)
        for variable in filter(decision.covers, marks):
            spoken = _within(decision, seconds) & _meant(decision, marks[variable])
            otherwise = marks[variable] & OTHERWISE_GOOD if decision.kind == Kind.REJECT else 0
            said[variable] = np.where(spoken, SPEAKS[decision.kind] | why | otherwise, said[variable])
    return said


def _meant(decision: Decision, mark: np.ndarray) -> np.ndarray:
    """Which readings of its span a decision is about, shape of ``mark``.

    About a station itself it is about what one check said of it, and what other checks said stands.
    """
    verdict = verdict_of(mark)
    there = verdict != MISSING
    if decision.kind == Kind.MAINTENANCE:
        return there
    if not decision.variable:
        reasons = mark & ((1 << 52) - 1) & ~(STEWARD | OTHERWISE_GOOD | 7)
        check = CHECKS.get(decision.parameters["check"])
        if check is None:  # it was given up since, and says nothing any more
            return np.zeros(mark.shape, bool)
        own = 1 << (REASONS_FROM + check.bit)
        return there & ((reasons == own) if decision.kind == Kind.BELIEVE else (reasons & own != 0))
    return there & ((decision.kind == Kind.BELIEVE) | (verdict != GOOD))


def _standing(station: int, decisions: Iterable[Decision], kinds: Iterable[str]) -> list[Decision]:
    """The station's decisions of these kinds, oldest first."""
    own = [one for one in decisions if one.station_id == station and one.kind in kinds]
    return sorted(own, key=lambda one: (one.made_at, one.pk))


def _reaches(decision: Decision, variable: str) -> bool:
    """Whether a decision is about a variable or one that it is derived from."""
    return any(decision.covers(name) for name in (variable, *DERIVED_FROM.get(variable, ())))


def _within(decision: Decision, seconds: np.ndarray) -> np.ndarray:
    return (seconds >= decision.begins_at) & (seconds <= decision.ends_at)


def reasons(mark: int) -> list[str]:
    """Whose word a mark is: maintenance, the steward, or the names of the checks that spoke."""
    if mark & STEWARD:
        return [AT_WORK if mark & MAINTAINED else THE_STEWARD]
    return reasons_of(mark)
