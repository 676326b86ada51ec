"""Why a reading has the verdict it has: what every check saw in it, worked out again from what is stored."""

from dataclasses import dataclass

import numpy as np

from network.pipeline.ledger import blocks
from network.pipeline.verdicts import steward
from network.pipeline.verdicts.judge import View, judge
from network.quality.evidence import Evidence
from network.quality.explanation import Reason, explain
from network.quality.verdict import DERIVED_FROM, inherit, weight
from stations.models import Station


@dataclass(frozen=True)
class Weighed:
    """One family's word, by the weightiest of its checks that spoke."""

    variable: str
    family: str
    weight: float


@dataclass(frozen=True)
class Why:
    """One reading and all that was seen in it."""

    at: int  # [UTC epoch s]
    value: float  # in the variable's unit
    by_checks: int  # the mark the evidence alone comes to
    mark: int  # with the steward's word over it
    reasons: list[Reason]
    weighed: list[Weighed]
    before: int | None  # the reading before it and the one after it, if near
    after: int | None


def why(station: Station, variable: str, at: int) -> Why | None:
    """The station's reading of a variable at or last before ``at`` [UTC epoch s]; None where there is none near."""
    judged = judge(station.household.village, blocks.block_of(at), about=station.pk)
    for view, (marks, evidence) in zip(reversed(judged.views), reversed(judged.seen), strict=True):
        if variable in view.window.values:
            seconds = view.rows.at
            i = int(np.searchsorted(seconds, at, "right")) - 1
            if i >= 0 and seconds[i] >= blocks.block_of(at):
                spoken = steward.overrule(marks, station.pk, seconds, judged.decisions)
                return _why(view, evidence, variable, i, inherit(marks)[variable], spoken[variable])
    return None


def _why(
    view: View, evidence: list[Evidence], variable: str, i: int, alone: np.ndarray, spoken: np.ndarray
) -> Why:
    seconds = view.rows.at
    reasons = explain(view.window, evidence, variable, i)
    return Why(
        at=int(seconds[i]),
        value=float(view.window.values[variable][i]),
        by_checks=int(alone[i]),
        mark=int(spoken[i]),
        reasons=reasons,
        weighed=_weigh(variable, reasons),
        before=int(seconds[i - 1]) if i else None,
        after=int(seconds[i + 1]) if i + 1 < len(seconds) else None,
    )


def _weigh(variable: str, reasons: list[Reason]) -> list[Weighed]:
    """What each family counts, of the variable and of what it was made from."""
    most: dict[tuple[str, str], float] = {}
    for one in reasons:
        if one.counted:
            key = one.variable, one.check.family
            most[key] = max(most.get(key, 0.0), float(weight(one.check, np.array([one.strain]))[0]))
    names = (variable, *DERIVED_FROM.get(variable, ()))
    return [
        Weighed(*key, counted) for key, counted in sorted(most.items(), key=lambda kv: names.index(kv[0][0]))
    ]
