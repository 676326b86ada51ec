"""What may have come over a station, as shapes over the spans of its record: 0 as before, 1 off in full."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from network.quality.spans import QUARTERS
from network.quality.window import Bools, Floats, Seconds

Kind = Literal["break", "mended break", "drift", "settled drift", "mended drift"]

PARAMETERS = {"break": 2, "mended break": 3, "drift": 2, "settled drift": 3, "mended drift": 3}
"""What each story is free to choose beside its level: when, and how much."""

BEFORE, AFTER = 8, 6
"""[spans] Two days must have gone well, and a day and a half ill, before a break is spoken of."""

SLOWLY = 12
"""[spans] What comes about within three days is a break."""


@dataclass(frozen=True, eq=False)
class Stories:
    """All stories that m spans can tell, arrays of shape (k,)."""

    kinds: NDArray[np.str_]
    parameters: Floats
    first: NDArray[np.intp]
    """The first span that is off at all."""
    full: NDArray[np.intp]
    """The first that is off in full; a break is so at once."""
    last: NDArray[np.intp]
    """The first that is as before again; m where none is."""
    before: NDArray[np.intp]
    """How many spans must have gone well: a drift may be older than the record."""

    def shape(self, i: int, m: int) -> Floats:
        """How far off each span is in story ``i``, as a share of the whole, shape (m,)."""
        span = np.arange(m)
        risen = (span - self.first[i] + 0.5) / max(self.full[i] - self.first[i], 0.5)
        return np.where(span < self.last[i], np.clip(risen, 0.0, 1.0), 0.0)

    def sums(self, rows: Floats, squared: Floats) -> tuple[Floats, Floats]:
        """The sum of each of ``rows`` (r, m) times each shape, (r, k), and of ``squared`` (m,) times its square, (k,).

        From running sums: over a rise from span a to b the shape is (j - a + 1/2) / (b - a), then 1.
        """
        place = np.arange(rows.shape[1]) + 0.5
        long = np.maximum(self.full - self.first, 1)
        full = between(rows, self.full, self.last)
        rising = between(rows * place, self.first, self.full) - self.first * between(
            rows, self.first, self.full
        )
        counted, moment, second = (
            between(squared * place**power, self.first, self.full) for power in range(3)
        )
        rising_squared = second - self.first * (2 * moment - self.first * counted)
        return full + rising / long, between(squared, self.full, self.last) + rising_squared / long**2


def between(rows: Floats, first: NDArray[np.intp], last: NDArray[np.intp]) -> Floats:
    """Sums over the last axis of ``rows`` from each of ``first`` to the one before each of ``last``."""
    sums = np.cumsum(np.concatenate([np.zeros_like(rows[..., :1]), rows], axis=-1), axis=-1)
    return np.asarray(sums.take(last, axis=-1) - sums.take(first, axis=-1))


Edges = tuple[int, int, int]
COARSE: dict[Kind, int] = {"break": 1, "mended break": 2, "drift": 4, "settled drift": 4, "mended drift": 4}
"""[spans] Between the edges tried at first, at steps that tell the stories apart."""


def _told(edges: Mapping[Kind, Sequence[Edges]]) -> Stories:
    """The stories with these edges: the first span off, the first off in full, the first as before."""
    first, full, last = np.array([each for of_kind in edges.values() for each in of_kind], dtype=np.intp).T
    kinds = np.repeat(list(edges), [len(of_kind) for of_kind in edges.values()])
    parameters = np.array([float(PARAMETERS[kind]) for kind in kinds.tolist()])
    return Stories(kinds, parameters, first, full, last, np.where(kinds == "drift", 0, BEFORE))


@lru_cache(maxsize=8)
def stories(m: int) -> Stories:
    """Every story of m spans, at coarse steps; the same for every record of that length."""
    begun = [(a, b) for a in range(0, m, 4) for b in range(a + SLOWLY, m, 4)]
    return _told(
        {
            "break": [(a, a, m) for a in range(1, m)],
            "mended break": [(a, a, b) for a in range(2, m, 2) for b in range(a + AFTER, m, 2)],
            "drift": [(a, m, m) for a in range(0, m - SLOWLY, 4)],
            "settled drift": [(a, b, m) for a, b in begun],
            "mended drift": [(a, b, b) for a, b in begun],
        }
    )


def finer(coarse: Stories, best: Iterable[int], m: int) -> Stories:
    """The stories about the best of some kinds, with their edges anywhere between the steps."""
    edges: dict[Kind, list[Edges]] = {}
    for i in best:
        kind: Kind = coarse.kinds[i].item()
        near = range(1 - COARSE[kind], COARSE[kind])
        end = int(coarse.last[i] if kind == "mended break" else coarse.full[i])
        begins = [int(coarse.first[i]) + by for by in near if 0 <= coarse.first[i] + by < m]
        ends = [end + by for by in near if end + by <= m]
        edges[kind] = {
            "break": [(a, a, m) for a in begins],
            "mended break": [(a, a, b) for a in begins for b in ends if b - a >= AFTER],
            "drift": [(a, m, m) for a in begins],
            "settled drift": [(a, b, m) for a in begins for b in ends if b - a >= SLOWLY],
            "mended drift": [(a, b, b) for a in begins for b in ends if b - a >= SLOWLY],
        }[kind]
    return _told(edges)


class Fit:
    """Stories fitted to spans, each beside a level for each quarter of the day; arrays of shape (k,) unless told."""

    def __init__(self, told: Stories, values: Floats, quarter: Seconds, weight: Bools) -> None:
        """``values``, ``quarter`` (of the day) and ``weight`` (whether a span counts) have shape (m,)."""
        self.told, self.quarter, self.weight = told, quarter, weight
        known = np.where(weight, values, 0.0)
        counted = weight.astype(np.float64)
        self.quarters = (quarter[:, None] == np.arange(QUARTERS)) * counted[:, None]  # (m, quarters)
        self.count = np.maximum(self.quarters.sum(axis=0), 1.0)  # (quarters,)
        self.level = known @ self.quarters / self.count  # (quarters,)
        self.from_level = np.where(weight, known - self.level[quarter], 0.0)  # (m,)
        (self.along, *in_each), squares = told.sums(np.stack([self.from_level, *self.quarters.T]), counted)
        self.in_quarter = np.stack(in_each)  # (quarters, k)
        self.spread = squares - (1.0 / self.count) @ self.in_quarter**2
        off = between(counted, told.first, told.last)
        self.possible = (off >= AFTER) & (self.spread > 0.5) & (counted.sum() - off >= told.before)
        self.gain = np.where(self.possible, self.along**2 / np.where(self.possible, self.spread, 1.0), 0.0)
        self.whole = float(self.from_level @ self.from_level)
        self.left = np.maximum(self.whole - self.gain, 1e-9 * self.whole)
        self.n = int(weight.sum())

    def residuals(self, i: int) -> Floats:
        """What story ``i`` leaves unexplained, shape (m,); NaN where a span does not count."""
        shape = self.told.shape(i, self.weight.size) - (self.in_quarter[:, i] / self.count)[self.quarter]
        left = self.from_level - self.along[i] / self.spread[i] * shape
        return np.where(self.weight, left, np.nan)

    def criterion(self, share: float) -> Floats:
        """Schwarz's, only a ``share`` of the values being independent; infinite where a story is not possible."""
        n = share * self.n
        said = n * np.log(self.left / self.n) + self.told.parameters * np.log(n)
        return np.where(self.possible, said, np.inf)

    def steady(self, i: int) -> float:
        """The least share of the size of story ``i`` that a quarter of the day shows, of those that can tell."""
        shape, size, shares = self.told.shape(i, self.weight.size), self.along[i] / self.spread[i], [0.0]
        for quarter in self.quarters.T > 0:
            here = shape[quarter] - shape[quarter].mean() if quarter.any() else shape[quarter]
            if here @ here > 0.5:
                shares.append(float(here @ self.from_level[quarter]) / float(here @ here) / size)
        return float(min(shares[1:] or shares))
