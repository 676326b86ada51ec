"""What a steward's standing decisions make of verdicts: the last word over all evidence."""

from collections.abc import Iterable, Mapping

import numpy as np

from network.models import Decision
from network.quality.verdict import DERIVED_FROM, GOOD, MISSING, WRONG, inherit, verdict_of

STEWARD = 1 << 30
"""The bit of a mark that says a steward had the last word; the checks have the bits below."""

SPEAKS = {Decision.Kind.BELIEVE: GOOD, Decision.Kind.REJECT: WRONG}
"""The decisions that change a verdict, and what they make of it."""


def overrule(
    marks: Mapping[str, np.ndarray], station: int, seconds: np.ndarray, decisions: Iterable[Decision]
) -> dict[str, np.ndarray]:
    """A station's marks, each from its own evidence, with the steward's word over them, oldest decision first.

    Of a span that is rejected, the readings the checks found good stay good: it was made about the others.
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
    for decision in _standing(station, decisions, (*SPEAKS, Decision.Kind.SET_ASIDE)):
        believed = decision.kind == Decision.Kind.BELIEVE
        for variable in trust:
            if variable == decision.variable or (not believed and _stands_on(variable, decision.variable)):
                trust[variable] = np.where(_within(decision, seconds), believed, trust[variable])
    return trust


def rejected(variable: str, station: int, seconds: np.ndarray, decisions: Iterable[Decision]) -> np.ndarray:
    """Where a steward said that this variable of this station was wrong, shape of ``seconds``."""
    out = np.zeros(len(seconds), bool)
    for decision in _standing(station, decisions, (Decision.Kind.REJECT,)):
        if variable == decision.variable or _stands_on(variable, decision.variable):
            out |= _within(decision, seconds)
    return out


def set_aside(variable: str, station: int, seconds: np.ndarray, decisions: Iterable[Decision]) -> np.ndarray:
    """Where a steward keeps this variable of this station out of the maps, or one it is derived from.

    Shape of ``seconds``.
    """
    out = np.zeros(len(seconds), bool)
    for decision in _standing(station, decisions, (Decision.Kind.SET_ASIDE,)):
        if variable == decision.variable or _stands_on(variable, decision.variable):
            out |= _within(decision, seconds)
    return out


def _say(
    marks: Mapping[str, np.ndarray], seconds: np.ndarray, decisions: Iterable[Decision]
) -> dict[str, np.ndarray]:
    said = dict(marks)
    for decision in decisions:
        if decision.variable in marks:
            verdict = verdict_of(marks[decision.variable])
            meant = (verdict != MISSING) & ((decision.kind == Decision.Kind.BELIEVE) | (verdict != GOOD))
            spoken = _within(decision, seconds) & meant
            said[decision.variable] = np.where(
                spoken, SPEAKS[decision.kind] | STEWARD, said[decision.variable]
            )
    return said


def _standing(station: int, decisions: Iterable[Decision], kinds: Iterable[str]) -> list[Decision]:
    """The station's decisions of these kinds, oldest first."""
    own = [one for one in decisions if one.station_id == station and one.kind in kinds]
    return sorted(own, key=lambda one: (one.made_at, one.pk))


def _stands_on(variable: str, other: str) -> bool:
    return other in DERIVED_FROM.get(variable, ())


def _within(decision: Decision, seconds: np.ndarray) -> np.ndarray:
    return (seconds >= decision.begins_at) & (seconds <= decision.ends_at)
