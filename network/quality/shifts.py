"""One story for how a station came to stand off its neighbours: a break, a break that was mended, or a drift.

Every story is a shape over the spans of the record: 0 where all was as before, 1 where it is off in full. The
shape is fitted beside a level for each quarter of the day, so that the sun's daily round explains itself, and
the stories compete by Schwarz's criterion (BIC; Schwarz 1978, Annals of Statistics 6, 461-464) with as many
values as are independent. So whatever is found, exactly one check speaks of it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from network.quality.record import FRAME, Record
from network.quality.spans import QUARTERS, SPAN, Spans, spans, stands_off
from network.quality.window import Bools, Floats, Seconds
from network.science.homogeneity import (
    autocorrelation,
    critical_value,
    cumulative_sums,
    effective_share,
    standard_normal_homogeneity,
)

Kind = Literal["break", "mended break", "drift", "settled drift", "mended drift"]

PARAMETERS = {"break": 2, "mended break": 3, "drift": 2, "settled drift": 3, "mended drift": 3}
"""What each story is free to choose beside its level: when, and how much."""

BEFORE, AFTER = 8, 6
"""[spans] Two days must have gone well, and a day and a half ill, before a break is spoken of."""

SLOWLY = 12
"""[spans] What comes about within three days is a break."""

INTERVAL = 5.0
"""Cumulative sum from which a series has left its level (Page's test at half a standard deviation's slack)."""

LEAST_MEMORY = 0.2
"""Correlation of spans that follow one another, at the least: the weather of a day is one."""


@dataclass(frozen=True)
class Shift:
    """What was found in one variable, in its unit (of wind: a share of what was expected)."""

    kind: Kind
    begins_at: int
    """UTC epoch [s]: the last frame end before it."""
    full_at: int
    """The end of the frame from which it is off in full."""
    ends_at: int
    """The end of the last frame affected."""
    before: float
    """How far the station stood off without it."""
    size: float
    error: float
    """Standard error of ``size``, with the memory of the series reckoned in."""
    strain: float
    """The evidence against a series of one piece, in critical values of the homogeneity test."""
    steady: float
    """The least share [1] of ``size`` that any quarter of the day shows: near 1 it is there day and night."""

    @property
    def lasts(self) -> bool:
        """Whether it is still there at the end of the record."""
        return self.kind in ("break", "drift", "settled drift")

    @property
    def at_once(self) -> bool:
        return self.kind in ("break", "mended break")


@lru_cache(maxsize=8)
def shift(record: Record, variable: str) -> Shift | None:
    """The story that explains the record of one variable best, if a record of one piece does not.

    Remembered, for several checks ask of the same record in turn.
    """
    frames = stands_off(record, variable)
    seen = spans(record, frames)
    weight = _weight(seen)
    if weight.sum() < BEFORE + AFTER or not _has_left_its_level(seen.values[weight]):
        return None
    return _best(record, frames, seen, weight)


def _weight(seen: Spans) -> Bools:
    """Spans that tell: known, in a quarter of the day known on three days."""
    known = np.isfinite(seen.values)
    return np.asarray(known & (np.bincount(seen.quarter, known, QUARTERS)[seen.quarter] >= 3))


def _has_left_its_level(values: Floats) -> bool:
    """Whether it is worth looking closer. The scatter is taken from neighbouring values, so no shift widens it."""
    scatter = 1.4826 * float(np.median(np.abs(np.diff(values)))) / np.sqrt(2.0)
    if scatter == 0.0:
        return bool(np.ptp(values) > 0)
    above, below = cumulative_sums((values - np.median(values)) / scatter)
    return bool(max(above.max(), below.max()) > INTERVAL)


@dataclass(frozen=True, eq=False)
class _Stories:
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
        full = _between(rows, self.full, self.last)
        rising = _between(rows * place, self.first, self.full) - self.first * _between(
            rows, self.first, self.full
        )
        counted, moment, second = (
            _between(squared * place**power, self.first, self.full) for power in range(3)
        )
        rising_squared = second - self.first * (2 * moment - self.first * counted)
        return full + rising / long, _between(squared, self.full, self.last) + rising_squared / long**2


def _between(rows: Floats, first: NDArray[np.intp], last: NDArray[np.intp]) -> Floats:
    """Sums over the last axis of ``rows`` from each of ``first`` to the one before each of ``last``."""
    sums = np.cumsum(np.concatenate([np.zeros_like(rows[..., :1]), rows], axis=-1), axis=-1)
    return np.asarray(sums.take(last, axis=-1) - sums.take(first, axis=-1))


Edges = tuple[int, int, int]
COARSE: dict[Kind, int] = {"break": 1, "mended break": 2, "drift": 4, "settled drift": 4, "mended drift": 4}
"""[spans] Between the edges tried at first; the best of each kind is then tried between them."""


def _told(told: Mapping[Kind, Sequence[Edges]]) -> _Stories:
    """The stories with these edges: the first span off, the first off in full, the first as before."""
    first, full, last = np.array([edges for of_kind in told.values() for edges in of_kind], dtype=np.intp).T
    kinds = np.repeat(list(told), [len(of_kind) for of_kind in told.values()])
    parameters = np.array([float(PARAMETERS[kind]) for kind in kinds.tolist()])
    return _Stories(kinds, parameters, first, full, last, np.where(kinds == "drift", 0, BEFORE))


@lru_cache(maxsize=8)
def _stories(m: int) -> _Stories:
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


def _finer(stories: _Stories, best: Sequence[int], m: int) -> _Stories:
    """The stories about the best of each kind, with their edges anywhere."""
    told: dict[Kind, list[Edges]] = {}
    for i in best:
        kind: Kind = stories.kinds[i].item()
        near = range(1 - COARSE[kind], COARSE[kind])
        first, full, last = int(stories.first[i]), int(stories.full[i]), int(stories.last[i])
        begins = [first + by for by in near if 0 <= first + by < m]
        ends = [
            end + by for end in (last if kind == "mended break" else full,) for by in near if end + by <= m
        ]
        told[kind] = {
            "break": [(a, a, m) for a in begins],
            "mended break": [(a, a, b) for a in begins for b in ends if b - a >= AFTER],
            "drift": [(a, m, m) for a in begins],
            "settled drift": [(a, b, m) for a in begins for b in ends if b - a >= SLOWLY],
            "mended drift": [(a, b, b) for a in begins for b in ends if b - a >= SLOWLY],
        }[kind]
    return _told(told)


class _Fit:
    """Every story fitted beside a level for each quarter of the day; arrays of shape (k,)."""

    def __init__(self, seen: Spans, weight: Bools, stories: _Stories) -> None:
        self.stories, self.seen, self.weight = stories, seen, weight
        known = np.where(weight, seen.values, 0.0)
        counted = weight.astype(np.float64)
        self.quarters = (seen.quarter[:, None] == np.arange(QUARTERS)) * counted[:, None]
        self.count = np.maximum(self.quarters.sum(axis=0), 1.0)
        self.level = known @ self.quarters / self.count
        self.from_level = np.where(weight, known - self.level[seen.quarter], 0.0)
        (self.along, *in_each), squares = stories.sums(np.stack([self.from_level, *self.quarters.T]), counted)
        self.in_quarter = np.stack(in_each)
        self.spread = squares - (1.0 / self.count) @ self.in_quarter**2
        off = _between(counted, stories.first, stories.last)
        self.possible = (off >= AFTER) & (self.spread > 0.5) & (counted.sum() - off >= stories.before)
        self.gain = np.where(self.possible, self.along**2 / np.where(self.possible, self.spread, 1.0), 0.0)
        self.whole = float(self.from_level @ self.from_level)
        self.left = np.maximum(self.whole - self.gain, 1e-9 * self.whole)
        self.n = int(weight.sum())

    def residuals(self, i: int) -> Floats:
        """What story ``i`` leaves unexplained, shape (m,)."""
        shape = self.stories.shape(i, self.seen.values.size)
        shape = shape - (self.in_quarter[:, i] / self.count)[self.seen.quarter]
        left = self.from_level - self.along[i] / self.spread[i] * shape
        return np.where(self.weight, left, np.nan)

    def criterion(self, share: float) -> Floats:
        """Schwarz's, with only a share of the values independent; infinite where a story is not possible."""
        n = share * self.n
        told = n * np.log(self.left / self.n) + self.stories.parameters * np.log(n)
        return np.where(self.possible, told, np.inf)


def _best(record: Record, frames: Floats, seen: Spans, weight: Bools) -> Shift | None:
    """Fit every story, the best of each kind more finely, and let the best of all speak."""
    coarse = _Fit(seen, weight, _stories(seen.values.size))
    if not coarse.possible.any():
        return None
    share = effective_share(max(autocorrelation(coarse.residuals(int(np.argmax(coarse.gain)))), LEAST_MEMORY))
    criterion, kinds = coarse.criterion(share), coarse.stories.kinds
    best = [int(np.argmin(np.where(kinds == kind, criterion, np.inf))) for kind in COARSE]
    best = [i for i in best if coarse.possible[i]]
    fit = _Fit(seen, weight, _finer(coarse.stories, best, seen.values.size))
    i = int(np.argmin(fit.criterion(share)))
    stories, kind, size = fit.stories, fit.stories.kinds[i].item(), float(fit.along[i] / fit.spread[i])

    # The same statistic as of a single break: what the shape explains of the whole, in n - 1 parts.
    statistic = (fit.n - 1) * fit.gain[i] / fit.whole
    if kind == "break":
        statistic, _ = standard_normal_homogeneity(fit.from_level[weight])
    scatter = np.sqrt(fit.left[i] / max(fit.n - QUARTERS - 2, 1))
    usual = fit.level - size * fit.in_quarter[:, i] / fit.count
    begins, full, ends = _edges(record, frames - usual[_quarter(record, seen)], stories, i, size)
    return Shift(
        kind=kind,
        begins_at=begins,
        full_at=full,
        ends_at=ends,
        before=float(usual[fit.count >= 3].mean()),
        size=size,
        error=float(scatter / np.sqrt(fit.spread[i] * share)),
        strain=float(share * statistic / critical_value(fit.n)),
        steady=_steady(stories.shape(i, seen.values.size), fit.from_level, fit.quarters, size),
    )


def _steady(shape: Floats, from_level: Floats, quarters: Floats, size: float) -> float:
    """The least share of ``size`` that a quarter of the day shows, of those that can tell."""
    shares = [0.0]
    for quarter in quarters.T > 0:
        here = shape[quarter] - shape[quarter].mean() if quarter.any() else shape[quarter]
        if here @ here > 0.5:
            shares.append(float(here @ from_level[quarter]) / float(here @ here) / size)
    return min(shares[1:] or shares)


def _quarter(record: Record, seen: Spans) -> Seconds:
    """The quarter of the day of each frame, shape (n,)."""
    start = int((record.seconds[0] - 1) // FRAME) % SPAN
    return np.repeat(seen.quarter, SPAN)[start : start + record.seconds.size]


def _edges(record: Record, off: Floats, stories: _Stories, i: int, size: float) -> tuple[int, int, int]:
    """When it began, when it was off in full and when it ended [UTC epoch s]; breaks to the frame."""
    long = SPAN * FRAME
    origin = int((record.seconds[0] - 1) // long) * long
    begins, full, last = (
        origin + int(edge[i]) * long for edge in (stories.first, stories.full, stories.last)
    )
    start, end = int(record.seconds[0]) - FRAME, int(record.seconds[-1])
    kind = stories.kinds[i]
    if kind in ("break", "mended break"):
        begins = _break(record, (off - size / 2) * np.sign(size), begins)
        full = begins + FRAME
        ends = end if kind == "break" else _break(record, (size / 2 - off) * np.sign(size), last)
    else:
        full = min(full, end)
        ends = last if kind == "mended drift" else end
    return max(begins, start), full, min(ends, end)


def _break(record: Record, above_middle: Floats, near: int) -> int:
    """The end of the last frame before the values rise above the middle, within nine hours of ``near``."""
    within = np.flatnonzero(np.abs(record.seconds - near) <= 1.5 * SPAN * FRAME)
    if within.size == 0:
        return near
    walk = np.cumsum(np.nan_to_num(above_middle[within]))
    return int(record.seconds[within[int(np.argmin(walk))]])
