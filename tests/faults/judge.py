"""What the hub made of each event: found or not, how much of it, how soon, and for which reason."""

from dataclasses import dataclass

import numpy as np

from network.models import Case, Evidence
from network.quality.checks import CHECKS
from network.quality.verdict import DOUBTFUL, REASONS_FROM, WRONG
from tests.faults import delay
from tests.faults.hub import Seen
from tests.faults.kind import DERIVED, Event, Kind
from tests.faults.kinds import KINDS
from tests.faults.said import Bools, Said, Seconds

SMEAR = 7200
"""[s] How far a check may reach past what is affected: the patience of the usual one."""

AROUND = 3 * 86400
"""[s] How far around an event a doubt counts against precision."""


@dataclass(frozen=True)
class Outcome:
    """What became of one event."""

    kind: str
    stations: int
    seed: int
    station: int
    begins_at: int
    ends_at: int
    found: bool
    affected: int
    not_good: int
    """Of the affected readings."""
    doubted: int
    """Readings not good around it, in any variable it may spoil, also the derived."""
    doubted_rightly: int
    delay: float | None
    """[h] From the first affected reading to when the hub could say so; None where that was not asked."""
    in_time: bool | None
    """Whether the hub could say so by the time that the kind sets; None where it sets none, or that was not asked."""
    reason: str
    right: bool


def outcome(
    event: Event,
    others: list[Event],
    said: Said,
    seen: Seen,
    stations: int,
    seed: int,
    timed: bool,
    limit: int | None = None,
) -> Outcome:
    """Judge one event; ``others`` are those of the same station.

    ``timed`` asks also how soon it was found, ``limit`` whether by then [UTC epoch s].
    """
    kind = KINDS[event.kind]
    affected = _with_derived(event)
    together = np.any(list(affected.values()), axis=0)
    first, last = (int(said.told[i]) for i in np.flatnonzero(together)[[0, -1]])
    marks = {name: marks_at(seen, name, said.told) for name in affected}
    doubts = {name: not_good(mark) for name, mark in marks.items()}
    spoken = _speakers(kind)
    told = any(bool((mark[affected[name]] & spoken).any()) for name, mark in _only(marks, doubts).items())
    named = kind.right | kind.also
    about = kind.touches | {""}  # a case with no variable is about the station as a whole
    cases = [one for one in seen.cases if one.variable in about and _overlaps(one, first, last)]
    found = told or any(one.check_name in named for one in cases)
    evidence = [
        one
        for one in seen.evidence
        if one.variable in about and one.check_name in named and _overlaps(one, first, last)
    ]
    loudest = min(evidence, key=lambda one: (one.begins_at, -one.strain), default=None)
    spoke = cases[0] if cases else loudest
    reason = spoke.check_name if found and spoke is not None else ""
    direct = [event.affected[name] & np.isfinite(said.values[name]) for name in event.variables]
    beside = [other for other in others if other is not event and KINDS[other.kind].touches & kind.touches]
    doubted, rightly = _around(event, affected, doubts, beside, said.told)
    return Outcome(
        kind=event.kind,
        stations=stations,
        seed=seed,
        station=event.station,
        begins_at=first,
        ends_at=last,
        found=_unharmed(event, said, seen, doubts) if kind.harmless else found,
        affected=int(sum(mask.sum() for mask in direct)),
        not_good=int(
            sum((mask & doubts[name]).sum() for name, mask in zip(event.variables, direct, strict=True))
        ),
        doubted=doubted,
        doubted_rightly=rightly,
        delay=delay.hours(seen.station, kind, first, last) if timed and found and not kind.harmless else None,
        in_time=None if limit is None else found and delay.by(seen.station, kind, first, last, limit),
        reason=reason,
        right=reason in kind.right,
    )


def marks_at(seen: Seen, variable: str, told: Seconds) -> np.ndarray:
    """The mark of the reading at each claimed time, shape (t,); 7 where there is none."""
    column = seen.rows.columns[f"{variable}_mark"]
    place = np.minimum(np.searchsorted(seen.rows.at, told), max(len(column) - 1, 0))
    if not len(column):
        return np.full(told.shape, 7, np.int64)
    there = (seen.rows.at[place] == told) & np.isfinite(column[place])
    return np.where(there, np.nan_to_num(column[place]), 7).astype(np.int64)


def not_good(marks: np.ndarray) -> Bools:
    """Where a reading is doubtful or wrong."""
    return np.isin(marks & 7, (DOUBTFUL, WRONG))


def _only(marks: dict[str, np.ndarray], doubts: dict[str, Bools]) -> dict[str, np.ndarray]:
    return {name: np.where(doubts[name], mark, 0) for name, mark in marks.items()}


def _speakers(kind: Kind) -> int:
    """The bits of the checks that may speak of a kind."""
    return sum(1 << (REASONS_FROM + CHECKS[n].bit) for n in kind.right | kind.also if n in CHECKS)


def _with_derived(event: Event) -> dict[str, Bools]:
    """The affected readings also of what is derived."""
    affected = dict(event.affected)
    for name in event.variables:
        for derived in DERIVED.get(name, ()):
            affected[derived] = affected.get(derived, np.zeros_like(affected[name])) | affected[name]
    return affected


def _overlaps(one: Case | Evidence, first: int, last: int) -> bool:
    return one.begins_at <= last + SMEAR and one.ends_at >= first - SMEAR


def _around(
    event: Event, affected: dict[str, Bools], doubts: dict[str, Bools], beside: list[Event], told: Seconds
) -> tuple[int, int]:
    """Readings not good near the event, and those of them that are affected but for the smear."""
    step = int(np.median(np.diff(told)))
    reach, smear = AROUND // step, SMEAR // step
    near = np.zeros(told.shape, dtype=bool)
    near[max(event.first - reach, 0) : event.last + reach] = True
    for other in beside:
        near[max(other.first - reach, 0) : other.last + reach] = False
    near[event.first : event.last] = True
    total = rightly = 0
    first, last = told[event.first], told[event.last - 1]
    for name, doubt in doubts.items():
        spoilt = affected[name]
        if KINDS[event.kind].throughout:
            spoilt = spoilt | ((told >= first) & (told <= last))
        smeared = np.convolve(spoilt, np.ones(2 * smear + 1), mode="same") > 0.5
        total += int((doubt & near).sum())
        rightly += int((doubt & near & smeared).sum())
    return total, rightly


def _unharmed(event: Event, said: Said, seen: Seen, doubts: dict[str, Bools]) -> bool:
    """Whether nothing turned doubtful around it, and the hub holds just as many rows as the board said."""
    spoken = np.any([np.isfinite(values) for values in said.values.values()], axis=0)
    near = slice(max(event.first - 12, 0), event.last + 12)
    quiet = not any(doubt[near].any() for doubt in doubts.values())
    held = np.isin(said.told[near], seen.rows.at)
    return quiet and bool((held == spoken[near]).all())
