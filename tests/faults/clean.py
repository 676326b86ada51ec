"""How often honest readings are doubted."""

from collections import Counter
from collections.abc import Sequence

import numpy as np

from network.quality.verdict import DOUBTFUL, MISSING, UNCHECKED, WRONG, reasons_of
from tests.faults.hub import Seen
from tests.faults.said import Bools

Tally = dict[str, dict[str, object]]


def tally(seen: Sequence[Seen], within: Sequence[tuple[int, int]] | None = None) -> Tally:
    """By variable: readings, how many doubtful and wrong, and which checks said so; within some spans only [s]."""
    counted: Tally = {}
    for one in seen:
        inside = _inside(one.rows.at, within)
        for name, column in one.rows.columns.items():
            if not name.endswith("_mark"):
                continue
            marks = np.nan_to_num(column, nan=MISSING).astype(np.int64)[inside]
            verdict = marks & 7
            known = ~np.isin(verdict, (MISSING, UNCHECKED))
            if not known.any():
                continue
            entry = counted.setdefault(
                name.removesuffix("_mark"), {"readings": 0, "doubtful": 0, "wrong": 0, "checks": Counter()}
            )
            entry["readings"] += int(known.sum())
            entry["doubtful"] += int((verdict == DOUBTFUL).sum())
            entry["wrong"] += int((verdict == WRONG).sum())
            bad, often = np.unique(marks[np.isin(verdict, (DOUBTFUL, WRONG))], return_counts=True)
            for mark, times in zip(bad.tolist(), often.tolist(), strict=True):
                entry["checks"].update(dict.fromkeys(reasons_of(mark), times))
    return counted


def _inside(at: np.ndarray, within: Sequence[tuple[int, int]] | None) -> Bools:
    if within is None:
        return np.ones(at.shape, dtype=bool)
    return np.any([(at > first) & (at <= last) for first, last in within], axis=0)
