"""One story for how a station came to stand off its neighbours: a break, a break that was mended, or a drift.

Every story is a shape over the spans of the record: 0 where all was as before, 1 where it is off in full. The
shape is fitted beside a level for each quarter of the day, so that the sun's daily round explains itself, and
the stories compete by Schwarz's criterion (BIC; Schwarz 1978, Annals of Statistics 6, 461-464) with as many
values as are independent. So whatever is found, exactly one check speaks of it.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from network.quality.record import FRAME, Record
from network.quality.spans import QUARTERS, SPAN, Spans, spans, stands_off
from network.quality.stories import AFTER, BEFORE, Kind, Stories, between, stories
from network.quality.window import Bools, Floats, Seconds
from network.science.homogeneity import (
    autocorrelation,
    critical_value,
    cumulative_sums,
    effective_share,
    standard_normal_homogeneity,
)

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


def _best(record: Record, frames: Floats, seen: Spans, weight: Bools) -> Shift | None:
    """Fit every shape beside a level for each quarter of the day, and let the best speak."""
    m = seen.values.size
    told = stories(m)
    known = np.where(weight, seen.values, 0.0)
    counted = weight.astype(np.float64)
    quarters = (seen.quarter[:, None] == np.arange(QUARTERS)) * counted[:, None]
    count = np.maximum(quarters.sum(axis=0), 1.0)
    level = known @ quarters / count
    from_level = np.where(weight, known - level[seen.quarter], 0.0)
    (along, *in_each), squares = told.sums(np.stack([from_level, *quarters.T]), counted)
    in_quarter = np.stack(in_each)
    spread = squares - (1.0 / count) @ in_quarter**2
    off = between(counted, told.first, told.last)
    possible = (off >= AFTER) & (spread > 0.5) & (counted.sum() - off >= told.before)
    if not possible.any():
        return None
    gain = np.where(possible, along**2 / np.where(possible, spread, 1.0), 0.0)
    whole = float(from_level @ from_level)
    n = int(weight.sum())

    def residuals(i: int) -> Floats:
        shape = told.shape(i, m) - (in_quarter[:, i] / count)[seen.quarter]
        return np.where(weight, from_level - along[i] / spread[i] * shape, np.nan)

    share = effective_share(max(autocorrelation(residuals(int(np.argmax(gain)))), LEAST_MEMORY))
    left = np.maximum(whole - gain, 1e-9 * whole)
    criterion = share * n * np.log(left / n) + told.parameters * np.log(share * n)
    i = int(np.argmin(np.where(possible, criterion, np.inf)))

    # The same statistic as of a single break: what the shape explains of the whole, in n - 1 parts.
    statistic = (n - 1) * gain[i] / whole
    if told.kinds[i] == "break":
        statistic, _ = standard_normal_homogeneity(from_level[weight])
    size = float(along[i] / spread[i])
    scatter = np.sqrt(left[i] / max(n - QUARTERS - 2, 1))
    usual = level - size * in_quarter[:, i] / count
    begins, full, ends = _edges(record, frames - usual[_quarter(record, seen)], told, i, size)
    return Shift(
        kind=told.kinds[i].item(),
        begins_at=begins,
        full_at=full,
        ends_at=ends,
        before=float(usual[count >= 3].mean()),
        size=size,
        error=float(scatter / np.sqrt(spread[i] * share)),
        strain=float(share * statistic / critical_value(n)),
        steady=_steady(told.shape(i, m), from_level, quarters, size),
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


def _edges(record: Record, off: Floats, told: Stories, i: int, size: float) -> tuple[int, int, int]:
    """When it began, when it was off in full and when it ended [UTC epoch s]; breaks to the frame."""
    long = SPAN * FRAME
    origin = int((record.seconds[0] - 1) // long) * long
    begins, full, last = (origin + int(edge[i]) * long for edge in (told.first, told.full, told.last))
    start, end = int(record.seconds[0]) - FRAME, int(record.seconds[-1])
    kind = told.kinds[i]
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
