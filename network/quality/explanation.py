"""Why a verdict: what each check saw in one reading, in words a keeper can act on."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from network.quality.check import Check
from network.quality.checks import CHECKS
from network.quality.evidence import Evidence
from network.quality.verdict import DERIVED_FROM, counts, sorted_by_variable
from network.quality.window import Floats, Window
from network.science.units import convert, sign
from network.science.variables import VARIABLES


@dataclass(frozen=True)
class Reason:
    """One check's view of one reading, in the unit of the variable; NaN where there is no such figure."""

    check: Check
    variable: str
    observed: float
    expected: float
    tolerance: float
    strain: float
    counted: bool
    excused: bool
    sentence: str


def explain(window: Window, evidence: Iterable[Evidence], variable: str, i: int) -> list[Reason]:
    """All that was seen in reading ``i`` of a variable, and in what it was derived from, weightiest first.

    A check that could not look has no reason here. One that is content has one, with ``counted`` false.
    """
    about = sorted_by_variable(window, evidence)
    reasons = []
    for asked in (variable, *DERIVED_FROM.get(variable, ())):
        for seen in about.get(asked, []):
            if not np.isnan(seen.strain[i]):
                counted = bool(counts(seen, about[asked])[i])
                reasons.append(reason(window, seen, i, counted))
    return sorted(reasons, key=lambda each: (not each.counted, not each.check.decisive, -each.strain))


def reason(window: Window, seen: Evidence, i: int, counted: bool) -> Reason:
    """One check's view of reading ``i``."""
    check, variable = CHECKS[seen.check], seen.variable
    observed = float(window.values[variable][i])
    expected, tolerance = figure(seen.expected, i), figure(seen.tolerance, i)
    sentence = check.meaning.format(
        variable=VARIABLES[variable].words,
        observed=shown(variable, observed),
        expected=shown(variable, expected),
        tolerance=shown_difference(variable, tolerance),
        low=shown(variable, expected - tolerance),
        high=shown(variable, expected + tolerance),
        hint=seen.hint,
    )
    spoke = bool(seen.speaks()[i])
    strain = float(seen.strain[i])
    return Reason(
        check, variable, observed, expected, tolerance, strain, counted, spoke and not counted, sentence
    )


def figure(figures: Floats | float | None, i: int) -> float:
    """The figure that goes with reading ``i``; NaN where there is none."""
    if figures is None:
        return float("nan")
    return float(figures[i]) if isinstance(figures, np.ndarray) and figures.ndim else float(figures)


def shown(variable: str, value: float) -> str:
    """A value in the unit it is usually shown in: '41.2 °C'."""
    entry = VARIABLES[variable]
    return (
        f"{float(convert(value, entry.unit, entry.shown_unit)):.{entry.decimals}f} {sign(entry.shown_unit)}"
    )


def shown_difference(variable: str, difference: float) -> str:
    """A difference of two values, in the unit they are usually shown in."""
    entry = VARIABLES[variable]
    from_zero = convert([difference, 0.0], entry.unit, entry.shown_unit)
    return f"{float(from_zero[0] - from_zero[1]):.{entry.decimals}f} {sign(entry.shown_unit)}"
