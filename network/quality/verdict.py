"""One verdict from all the evidence, and how it is stored.

The rule (complex quality control, Gandin 1988, Monthly Weather Review 116, 1137-1156). For each reading:

1. A check speaks where its strain is above 1.
2. What it says is taken back where the neighbour check that may excuse it looked and is content: a jump
   that the neighbours vouch for is a front.
3. Each family counts once, with the weight of the weightiest of its checks that spoke: two checks that see
   the same thing are not two witnesses.
4. The sum decides: doubtful from DOUBTFUL_AT, wrong from WRONG_AT. So one ordinary check makes a reading
   doubtful, two families that agree, or one strong departure, make it wrong, and a decisive check decides.
5. What only the long run doubts is marked as such: it may not be drawn, yet what the neighbours expect does
   not change with it, so that the long run never judges by its own judgement.
6. A derived variable is no better than what it was derived from.
"""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from network.quality.check import STRONG, Check
from network.quality.checks import CHECKS
from network.quality.evidence import Evidence
from network.quality.window import Bools, Floats, Window

Marks = NDArray[np.int64]

GOOD, DOUBTFUL, WRONG, UNCHECKED, MISSING = 0, 2, 3, 4, 7
"""BUFR code table 0 33 020, quality control indication of following value."""

VERDICT_WORDS = {
    GOOD: "good",
    DOUBTFUL: "doubtful",
    WRONG: "wrong",
    UNCHECKED: "unchecked",
    MISSING: "missing",
}

DOUBTFUL_AT, WRONG_AT = 0.9, 2.0
"""Weight of evidence from which a reading is doubtful, and wrong."""

CONTENT_BELOW = 0.7
"""Strain below which a neighbour check vouches for a reading. Between this and 1 it says nothing."""

REASONS_FROM = 3
"""The lowest three bits of a mark are the verdict; bit 3 + check.bit is set for every check that spoke."""

OTHERWISE_GOOD = 1 << 31
"""The bit of a mark that says: without the long run this would be good. Bit 30 is the steward's."""

DERIVED_FROM = {
    "dew_point": ("air_temperature", "relative_humidity"),
    "sea_level_pressure": ("station_pressure", "air_temperature"),
}

TOLD_OTHERWISE = ("unit_hypothesis", "swapped", "pressure_for_elevation")
"""Checks that know a reading to be another variable's, or in another unit."""

_SENSELESS = sum(1 << (REASONS_FROM + CHECKS[name].bit) for name in (*TOLD_OTHERWISE, "variance_collapsed"))
_HARM = np.zeros(8, dtype=np.int8)
_HARM[[GOOD, UNCHECKED, DOUBTFUL, WRONG]] = [0, 1, 2, 3]


def counts(evidence: Evidence, about_variable: Iterable[Evidence]) -> Bools:
    """Where a check speaks and is not excused by the neighbours, shape (n,)."""
    speaks = evidence.speaks()
    excuse = CHECKS[evidence.check].excused_by
    if excuse is not None and speaks.any():
        for other in about_variable:
            if other.check == excuse:
                speaks &= ~(other.strain < CONTENT_BELOW)
    return speaks


def weight(check: Check, strain: Floats) -> Floats:
    """What a check that spoke counts, by how strained the reading is, shape (n,)."""
    if check.decisive:
        return np.full(strain.shape, WRONG_AT)
    strong = check.weight if check.strong_weight is None else check.strong_weight
    return np.where(strain >= STRONG, strong, check.weight)


def weigh(values: Floats, about_variable: Sequence[Evidence]) -> Marks:
    """The marks of one variable from the evidence about it alone, shape (n,)."""
    strains = np.array([each.strain for each in about_variable]).reshape(len(about_variable), values.size)
    looked = ~np.isnan(strains).all(axis=0)
    reasons = np.zeros(values.shape, dtype=np.int64)
    families: dict[str, Floats] = {}
    for i in np.flatnonzero((strains > 1.0).any(axis=1)).tolist():
        evidence, check = about_variable[i], CHECKS[about_variable[i].check]
        spoke = counts(evidence, about_variable)
        if spoke.any():
            reasons[spoke] |= 1 << (REASONS_FROM + check.bit)
            heaviest = families.setdefault(check.family, np.zeros(values.shape))
            np.maximum(heaviest, np.where(spoke, weight(check, evidence.strain), 0.0), out=heaviest)
    marks = np.where(looked, GOOD, UNCHECKED)
    if families:
        evident = np.sum(list(families.values()), axis=0)
        if "long run" in families:
            lately = evident - families["long run"]
            reasons[lately < DOUBTFUL_AT] |= OTHERWISE_GOOD
        for verdict, least in ((DOUBTFUL, DOUBTFUL_AT), (WRONG, WRONG_AT)):
            marks = np.where(evident >= least, verdict | reasons, marks)
    return np.where(np.isnan(values), MISSING, marks).astype(np.int64)


def decide(window: Window, evidence: Iterable[Evidence]) -> dict[str, Marks]:
    """The mark of every reading, by variable, shape (n,): good is 0, a reading that is not there MISSING."""
    return inherit(weigh_each(window, evidence))


def weigh_each(window: Window, evidence: Iterable[Evidence]) -> dict[str, Marks]:
    """The marks of every variable, each from the evidence about it alone."""
    about = sorted_by_variable(window, evidence)
    return {variable: weigh(values, about[variable]) for variable, values in window.values.items()}


def inherit(marks: Mapping[str, Marks]) -> dict[str, Marks]:
    """The marks with every derived variable no better than what it was derived from."""
    marks = dict(marks)
    for derived, parents in DERIVED_FROM.items():
        for parent in parents:
            if derived in marks and parent in marks and marks[parent].any():
                marks[derived] = no_better(marks[derived], marks[parent])
    return marks


def sorted_by_variable(window: Window, evidence: Iterable[Evidence]) -> dict[str, list[Evidence]]:
    """The evidence about each of the station's variables."""
    about: dict[str, list[Evidence]] = {variable: [] for variable in window.values}
    for each in evidence:
        about[each.variable].append(each)
    return about


def no_better(derived: Marks, parent: Marks) -> Marks:
    """Marks with the worse verdict of the two and the reasons of both; what is missing stays missing."""
    worse = np.where(_HARM[verdict_of(parent)] > _HARM[verdict_of(derived)], parent, derived) & 7
    both = (derived | parent) >> REASONS_FROM << REASONS_FROM
    both &= ~np.where(otherwise_good(derived) & otherwise_good(parent), 0, OTHERWISE_GOOD)
    return np.where(verdict_of(derived) == MISSING, derived, worse | both).astype(np.int64)


def otherwise_good(mark: Marks) -> Bools:
    """Where a reading is good, or would be without what the long run found."""
    good: Bools = (verdict_of(mark) == GOOD) | (mark & OTHERWISE_GOOD != 0)
    return good


def senseless(mark: Marks) -> Bools:
    """Where a reading is not of its variable, or no more of the weather: it does not tell how far off the sensor is."""
    found: Bools = mark & _SENSELESS != 0
    return found


def verdict_of(mark: NDArray[np.integer] | int) -> NDArray[np.integer]:
    """The verdict in a mark, or in an array of them."""
    return np.bitwise_and(mark, 7)


def reasons_of(mark: int) -> list[str]:
    """Names of the checks that spoke, in the order they look."""
    return [check.name for check in CHECKS.values() if int(mark) >> (REASONS_FROM + check.bit) & 1]
