"""Which decision about a case is the likeliest, and why: a proposal that the steward may take or leave."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from network.models import Case, Decision, Finding
from network.pipeline.cases import effects
from network.pipeline.cases.remedies import ASIDE, AT_FAULT, BY_THEMSELVES, OFF_BY_AN_AMOUNT, QUESTIONS
from network.pipeline.ledger.blocks import HOUR
from network.pipeline.neighbours.departures import Departures
from network.quality.checks.unit_hypothesis import CHECK as UNIT_HYPOTHESIS
from network.quality.hypotheses import HYPOTHESES, Hypothesis
from network.quality.verdict import WRONG
from network.science.units import find
from network.science.variables import VARIABLES

Kind = Decision.Kind

FEWEST = 36
"""Frames before a departure is called steady: six hours of them."""

STEADY = 0.5
"""Spread, as a share of the departure itself, up to which a departure is steady. Common practice."""


@dataclass(frozen=True)
class Proposal:
    """A kind of decision, what goes with it, and the reason in a sentence."""

    kind: str
    why: str
    given: dict[str, Any] = field(default_factory=dict)
    span: tuple[int, int] | None = None
    """The readings it is about [UTC epoch s], where not all of the case."""
    reason: str = ""
    """What the keeper might be told or asked."""


def propose(case: Case, departures: Departures | None) -> Proposal:
    """The likeliest decision about a case with these departures."""
    return next(_proposals(case, departures))


def likeliest_unit(case: Case, departures: Departures | None) -> Hypothesis | None:
    """The unit in which the numbers would fit the neighbours, where there is one and it fits far better."""
    if departures is None or len(departures) < FEWEST or case.variable not in HYPOTHESES:
        return None
    try:
        spoken = find(effects.channel_of(case).unit)
    except (effects.NotPossible, ValueError):
        return None
    canonical, thresholds = VARIABLES[case.variable].unit, UNIT_HYPOTHESIS.thresholds
    fits = {
        one: departures.if_observed(one.mended(departures.observed, canonical)).misfit
        for one in HYPOTHESES[case.variable]
        if find(one.read_as) == spoken
    }
    best = min(fits, key=lambda one: fits[one], default=None)
    if best is None or departures.misfit < thresholds["does_not_fit"]:
        return None
    return best if thresholds["better"] * fits[best] < departures.misfit else None


def steady_offset(departures: Departures | None) -> float | None:
    """What would have to be added to bring a steady departure to nothing; None where it is not steady."""
    if departures is None or len(departures) < FEWEST:
        return None
    low, middle, high = np.percentile(departures.departure, [16, 50, 84])
    steady = (high - low) / 2 <= STEADY * abs(middle)
    return -float(middle) if steady and abs(middle) > float(np.median(departures.error)) else None


def found_in(case: Case) -> Finding | None:
    """The newest finding of the long run that the case tells of."""
    found = Finding.objects.filter(
        station=case.station_id, check_name=case.check_name, variable=case.variable
    )
    return (
        found.filter(begins_at__lte=case.ends_at, ends_at__gte=case.begins_at).order_by("-begins_at").first()
    )


def _proposals(case: Case, departures: Departures | None) -> Iterator[Proposal]:
    if (unit := likeliest_unit(case, departures)) is not None:
        yield Proposal(
            Kind.CHANGE_UNIT,
            f"The numbers fit the neighbours if they are {unit.words()}.",
            {"unit": unit.unit},
        )
    yield from _of_the_long_run(case)
    if case.check_name in BY_THEMSELVES:
        yield Proposal(Kind.KEEP, BY_THEMSELVES[case.check_name])
    if case.check_name in AT_FAULT:
        why = "The instrument itself looks at fault: no arithmetic mends that."
        yield Proposal(Kind.KEEP if case.verdict == WRONG else Kind.REJECT, why)
    if case.check_name in ASIDE:
        why, told = ASIDE[case.check_name]
        yield Proposal(Kind.SET_ASIDE, why, reason=told)
    if case.check_name in QUESTIONS:
        why, question = QUESTIONS[case.check_name]
        yield Proposal(Kind.ASK, why, reason=question)
    if case.at_once:
        yield Proposal(Kind.BELIEVE, "Other stations saw the same at the same time: most likely it was so.")
    offset = steady_offset(departures)
    if case.variable and offset is not None and can_shift(case, offset):
        yield Proposal(Kind.CALIBRATE, "It stands off its neighbours by a steady amount.", {"offset": offset})
    yield Proposal(Kind.ASK, "The figures alone do not say why: its keeper may know.")


def _of_the_long_run(case: Case) -> Iterator[Proposal]:
    """What mends a fault of which weeks have told the size."""
    found = found_in(case)
    if found is None:
        return
    if case.check_name == "clock":
        behind = HOUR if abs(abs(found.size) - HOUR) < max(2 * found.error, 300.0) else abs(found.size)
        ahead = -np.sign(found.size) * round(behind / 60) * 60
        yield Proposal(
            Kind.FIX_CLOCK, "The sun and the neighbours’ weather tell by how much.", {"fast_by": int(ahead)}
        )
    if case.check_name in OFF_BY_AN_AMOUNT and can_shift(case, -found.size):
        span = (max(found.begins_at, case.begins_at), case.ends_at)
        why = "It has stood off its neighbours by a steady amount since."
        yield Proposal(Kind.CALIBRATE, why, {"offset": -found.size}, span)


def can_shift(case: Case, offset: float) -> bool:
    """Whether adding an amount to every reading is arithmetic that this variable and its channel allow."""
    try:
        effects.shifted(case, {"offset": offset})
    except effects.NotPossible:
        return False
    return VARIABLES[case.variable].summary == "mean" and case.variable != "wind_speed"
