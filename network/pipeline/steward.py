"""What a steward's standing decisions make of verdicts: the last word over all evidence."""

from collections.abc import Iterable

import numpy as np

from network.models import Decision
from network.quality.verdict import GOOD, WRONG

STEWARD = 1 << 30
"""The bit of a mark that says a steward had the last word; the checks have the bits below."""

SPEAKS = {Decision.Kind.BELIEVE: GOOD, Decision.Kind.REJECT: WRONG}
"""The decisions that change a verdict, and what they make of it."""


def overrule(
    marks: dict[str, np.ndarray], station: int, seconds: np.ndarray, decisions: Iterable[Decision]
) -> dict[str, np.ndarray]:
    """The marks with the steward's word over them, oldest decision first; readings that are missing stay so."""
    marks = dict(marks)
    for decision in sorted(decisions, key=lambda one: (one.made_at, one.pk)):
        if decision.station_id != station or decision.kind not in SPEAKS:
            continue
        mark = marks.get(decision.variable)
        if mark is not None:
            spoken = _within(decision, seconds) & ((mark & 7) != 7)
            marks[decision.variable] = np.where(spoken, SPEAKS[decision.kind] | STEWARD, mark)
    return marks


def set_aside(variable: str, station: int, seconds: np.ndarray, decisions: Iterable[Decision]) -> np.ndarray:
    """Where a steward keeps this variable of this station out of the maps, shape of ``seconds``."""
    out = np.zeros(len(seconds), bool)
    for decision in decisions:
        if decision.kind == Decision.Kind.SET_ASIDE and (decision.station_id, decision.variable) == (
            station,
            variable,
        ):
            out |= _within(decision, seconds)
    return out


def _within(decision: Decision, seconds: np.ndarray) -> np.ndarray:
    return (seconds >= decision.begins_at) & (seconds <= decision.ends_at)
