"""Which decision about a case is the likeliest, and why: a proposal that the steward may take or leave."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from network.models import Case, Decision
from network.pipeline import effects
from network.pipeline.departures import Departures, departures_of
from network.quality.checks.unit_hypothesis import CHECK as UNIT_HYPOTHESIS
from network.quality.checks.unit_hypothesis import HYPOTHESES, Hypothesis
from network.quality.verdict import WRONG
from network.science.units import find
from network.science.variables import VARIABLES

Kind = Decision.Kind

FEWEST = 36
"""Frames before a departure is called steady: six hours of them."""

STEADY = 0.5
"""Spread, as a share of the departure itself, up to which a departure is steady. Common practice."""

BY_THEMSELVES = {
    "range_end": "The instrument is at the end of what it can say: nothing is to be mended here.",
    "supply": "The battery was low, which its keeper can mend and no decision can.",
    "physical": "No such value exists: the checks are right.",
    "repeated": "The station said two things at once: the checks are right.",
}
"""Checks that are right as they stand, and why."""

AT_FAULT = ("stuck", "still_alone", "rotor", "rain_missed", "rain_alone", "rain_in_dry_air", "noise", "spike")
"""Checks that see a fault of the instrument itself, which no arithmetic mends."""


@dataclass(frozen=True)
class Proposal:
    """A kind of decision, what goes with it, and the reason in a sentence."""

    kind: str
    why: str
    given: dict[str, Any] = field(default_factory=dict)


def propose(case: Case) -> Proposal:
    """The likeliest decision about a case."""
    departures = departures_of(case)
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


def _proposals(case: Case, departures: Departures | None) -> Iterator[Proposal]:
    if (unit := likeliest_unit(case, departures)) is not None:
        yield Proposal(
            Kind.CHANGE_UNIT,
            f"The numbers fit the neighbours if they are {unit.words()}.",
            {"unit": unit.unit},
        )
    if case.check_name in BY_THEMSELVES:
        yield Proposal(Kind.KEEP, BY_THEMSELVES[case.check_name])
    if case.check_name in AT_FAULT:
        why = "The instrument itself looks at fault: no arithmetic mends that."
        yield Proposal(Kind.KEEP if case.verdict == WRONG else Kind.REJECT, why)
    offset = steady_offset(departures)
    if offset is not None and can_shift(case, offset):
        yield Proposal(Kind.CALIBRATE, "It stands off its neighbours by a steady amount.", {"offset": offset})
    yield Proposal(Kind.ASK, "The figures alone do not say why: its keeper may know.")


def can_shift(case: Case, offset: float) -> bool:
    """Whether adding an amount to every reading is arithmetic that this variable and its channel allow."""
    try:
        effects.shifted(case, offset)
    except effects.NotPossible:
        return False
    return VARIABLES[case.variable].summary == "mean" and case.variable != "wind_speed"
