"""Evidence as kept: one row for each unbroken run of readings that a check spoke about."""

from collections.abc import Iterable

import numpy as np

from network.models import Evidence
from network.quality.checks import CHECKS
from network.quality.evidence import Evidence as Seen
from network.quality.verdict import DOUBTFUL, REASONS_FROM, WRONG, verdict_of

DIGITS = 7
"""Significant digits that are kept: in the last of sixteen, sums depend on how many days are judged together."""


def runs(
    station: int,
    seconds: np.ndarray,
    marks: dict[str, np.ndarray],
    seen: Iterable[Seen],
    values: dict[str, np.ndarray],
    first: int,
    last: int,
) -> list[Evidence]:
    """The runs among readings ``first`` .. ``last`` - 1 whose verdict is doubtful or wrong."""
    kept = []
    verdicts = {variable: verdict_of(mark) for variable, mark in marks.items()}
    doubted = {}
    for variable, verdict in verdicts.items():
        inside = ((verdict == DOUBTFUL) | (verdict == WRONG))[first:last]
        if inside.any():
            doubted[variable] = np.zeros(verdict.shape, dtype=bool)
            doubted[variable][first:last] = inside
    for one in seen:
        if one.variable not in doubted:
            continue
        verdict = verdicts[one.variable]
        spoke = (marks[one.variable] >> (REASONS_FROM + CHECKS[one.check].bit)) & 1 == 1
        for start, stop in _unbroken(doubted[one.variable] & spoke & one.speaks()):
            worst = start + int(np.argmax(one.strain[start:stop]))
            kept.append(
                Evidence(
                    station_id=station,
                    variable=one.variable,
                    check_name=one.check,
                    begins_at=int(seconds[start]),
                    ends_at=int(seconds[stop - 1]),
                    readings=stop - start,
                    verdict=int(verdict[start:stop].max()),
                    strain=_kept(min(one.strain[worst], 1e6)),
                    observed=_number(values[one.variable], worst),
                    expected=_number(one.expected, worst),
                    tolerance=_number(one.tolerance, worst),
                    hint=one.hint[:60],
                )
            )
    return kept


def _unbroken(held: np.ndarray) -> Iterable[tuple[int, int]]:
    """Beginning and end (excluded) of each run of True."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], held.astype(np.int8), [0]])))
    return zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)


def _number(values: np.ndarray | float | None, index: int) -> float | None:
    if values is None:
        return None
    value = float(values if np.ndim(values) == 0 else values[index])
    return _kept(value) if np.isfinite(value) else None


def _kept(value: float) -> float:
    return float(f"{value:.{DIGITS}g}")
