"""What may have come over a station, as shapes over the spans of its record: 0 as before, 1 off in full."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from network.quality.window import Floats

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


@lru_cache(maxsize=8)
def stories(m: int) -> Stories:
    """Every story of m spans, at steps that tell them apart; the same for every record of that length."""
    begun = [(a, b) for a in range(0, m, 4) for b in range(a + SLOWLY, m, 4)]
    told: dict[Kind, list[tuple[int, int, int]]] = {
        "break": [(a, a, m) for a in range(1, m)],
        "mended break": [(a, a, b) for a in range(2, m, 2) for b in range(a + AFTER, m, 2)],
        "drift": [(a, m, m) for a in range(0, m - SLOWLY, 4)],
        "settled drift": [(a, b, m) for a, b in begun],
        "mended drift": [(a, b, b) for a, b in begun],
    }
    first, full, last = np.array([edges for of_kind in told.values() for edges in of_kind], dtype=np.intp).T
    kinds = np.repeat(list(told), [len(of_kind) for of_kind in told.values()])
    parameters = np.array([float(PARAMETERS[kind]) for kind in kinds.tolist()])
    return Stories(kinds, parameters, first, full, last, np.where(kinds == "drift", 0, BEFORE))
