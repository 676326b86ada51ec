"""All checks at work: a station looked at alone, what may serve its neighbours, and what they say back."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from network.quality.checks import CHECKS
from network.quality.evidence import Evidence
from network.quality.finding import Finding
from network.quality.record import Record
from network.quality.verdict import DERIVED_FROM, MISSING, WRONG, decide, sorted_by_variable, verdict_of
from network.quality.window import Bools, Expected, Floats, Window

BESIDE = ("neighbours", "long run")
"""The families that look at more than the station's last day and a half."""


def look_alone(window: Window) -> list[Evidence]:
    """What the reading itself, its past and the station's other variables show."""
    return [seen for check in CHECKS.values() if check.family not in BESIDE for seen in check.look(window)]


def look_at_neighbours(
    window: Window, expected: Mapping[str, Expected], shared: Mapping[str, Floats] | None = None
) -> list[Evidence]:
    """What the neighbours' family sees.

    ``expected`` holds by variable the value to expect and its standard error, each of shape (n,) in the
    variable's unit, from other stations alone; NaN where there is no estimate. ``shared`` says how
    far another station departs to the same side, as a share of the departure here.
    """
    beside = replace(window, expected=expected, shared=shared or {})
    return [seen for check in CHECKS.values() if check.family == "neighbours" for seen in check.look(beside)]


def look_at_findings(window: Window, findings: Sequence[Finding]) -> list[Evidence]:
    """What the long run found, held against each reading."""
    if not findings:
        return []
    after = replace(window, findings=findings)
    return [seen for check in CHECKS.values() if check.family == "long run" for seen in check.look(after)]


def look_back(record: Record) -> list[Finding]:
    """What some weeks of one station show."""
    return [found for check in CHECKS.values() for found in check.look_back(record)]


def trusted(window: Window, evidence: Iterable[Evidence]) -> dict[str, Bools]:
    """Which readings may tell about the places around them, by variable, shape (n,).

    Not those that are missing, wrong or censored, nor those that strain a check so far that standing in for
    the neighbours would spoil them, even if by itself the reading is no more than doubtful. A derived
    variable is trusted where all it was derived from is.
    """
    evidence = list(evidence)
    about = sorted_by_variable(window, evidence)
    fit = {}
    for variable, marks in decide(window, evidence).items():
        verdict = verdict_of(marks)
        unfit = (verdict == WRONG) | (verdict == MISSING)
        for seen in about[variable]:
            if np.isfinite(unfit_at := CHECKS[seen.check].unfit_at):
                unfit |= seen.speaks() & (seen.strain >= unfit_at)
        fit[variable] = ~unfit
    for derived, parents in DERIVED_FROM.items():
        for parent in parents:
            if derived in fit and parent in fit:
                fit[derived] &= fit[parent]
    return fit
