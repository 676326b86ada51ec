"""Why a verdict: what each check saw in one reading, in words a keeper can act on."""

import re
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

CONTENT = "It has nothing to object."
EXCUSED = " The neighbours saw the same, so it does not count."


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
    spoke = bool(seen.speaks()[i])
    words = CONTENT
    if spoke:
        words = sentence(check, variable, observed, expected, tolerance, seen.hint)
        words += "" if counted else EXCUSED
    return Reason(
        check=check,
        variable=variable,
        observed=observed,
        expected=expected,
        tolerance=tolerance,
        strain=float(seen.strain[i]),
        counted=counted,
        excused=spoke and not counted,
        sentence=words,
    )


def sentence(
    check: Check,
    variable: str,
    observed: float,
    expected: float,
    tolerance: float,
    hint: str = "",
    unit: str = "",
) -> str:
    """What a check saw, for the keeper: figures in the variable's unit, written in ``unit`` or the usual one."""
    return check.meaning.format(
        variable=VARIABLES[variable].words,
        observed=shown(variable, observed, unit),
        expected=shown(variable, expected, unit),
        tolerance=shown_difference(variable, tolerance, unit),
        low=shown(variable, expected - tolerance, unit),
        high=shown(variable, expected + tolerance, unit),
        size=shown_difference(variable, abs(observed - expected), unit),
        hint=hint or "in another unit",
    )


def typeset(text: str) -> str:
    """True minus signs and apostrophes, no minus nought, and no space before a degree of the compass."""
    text = re.sub(r"(?<![\w.])-(?=[\d])", "−", text.replace("'", "’"))
    text = re.sub(r"−(0(?:\.0+)?)(?![\d.])", r"\1", text)
    return re.sub(r" °(?=[CF])", "\N{NO-BREAK SPACE}°", text).replace(" °", "°")


def figure(figures: Floats | float | None, i: int) -> float:
    """The figure that goes with reading ``i``; NaN where there is none."""
    if figures is None:
        return float("nan")
    return float(figures[i]) if isinstance(figures, np.ndarray) and figures.ndim else float(figures)


def shown(variable: str, value: float, unit: str = "") -> str:
    """A value in the unit it is usually shown in, or in another: '41.2 °C'."""
    entry, unit = VARIABLES[variable], unit or VARIABLES[variable].shown_unit
    return f"{float(convert(value, entry.unit, unit)):.{decimals(variable, unit)}f} {sign(unit)}"


def shown_difference(variable: str, difference: float, unit: str = "") -> str:
    """A difference of two values, in the unit they are usually shown in, or in another."""
    entry, unit = VARIABLES[variable], unit or VARIABLES[variable].shown_unit
    from_zero = convert([difference, 0.0], entry.unit, unit)
    return f"{float(from_zero[0] - from_zero[1]):.{decimals(variable, unit)}f} {sign(unit)}"


def decimals(variable: str, unit: str) -> int:
    """How many decimals say in ``unit`` as much as the catalogue's do in the unit usually shown."""
    entry = VARIABLES[variable]
    one = convert([1.0, 0.0], entry.shown_unit, unit)
    return max(0, entry.decimals - round(float(np.log10(one[0] - one[1]))))
