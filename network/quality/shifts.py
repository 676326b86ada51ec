"""The stories of how a station came to stand off its neighbours: a break, a break that was mended, a drift.

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
from network.quality.stories import AFTER, BEFORE, COARSE, Fit, Kind, Stories, finer, stories
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
    """The evidence against a series of one piece, in critical values of the homogeneity test or in beyond all doubt."""
    steady: float
    """The least share [1] of ``size`` that any quarter of the day shows: near 1 it is there day and night."""

    def ends_another(self, least: float) -> bool:
        """Whether it is the end of what was there before, ``least`` or more: the station is back where it should be."""
        return self.kind == "break" and abs(self.before) > max(least, 2 * abs(self.before + self.size))

    def meets(self, other: "Shift") -> bool:
        """Whether the two share any time."""
        return self.begins_at < other.ends_at and other.begins_at < self.ends_at

    @property
    def lasts(self) -> bool:
        """Whether it is still there at the end of the record."""
        return self.kind in ("break", "drift", "settled drift")

    @property
    def at_once(self) -> bool:
        return self.kind in ("break", "mended break")


BEYOND_DOUBT = 8.0
"""Standard errors of a size that need no test (common practice): the statistic of a test ends at the number of spans, so
that where they are as alike as those of a barometer, it cannot tell a great shift from a small one."""

MOST = 4
"""Stories of one record: beyond it there is no saying what is usual."""

STEADY = 0.5
"""Share of its size that every quarter of the day must show for a story to be the sensor's and not the sun's."""


@lru_cache(maxsize=8)
def shifts(record: Record, variable: str) -> tuple[Shift, ...]:
    """The stories that explain the record of one variable, the plainest first; none where it is of one piece.

    When one is told the record is looked at again without it. Remembered, for several checks ask of the same
    record in turn.
    """
    frames, told = stands_off(record, variable), list[Shift]()
    while len(told) < MOST:
        found = _shift(record, frames)
        if found is None or found.strain <= 1.0:
            break
        told.append(found)
        frames = _without(record, frames, found)
    return tuple(told)


def _without(record: Record, frames: Floats, found: Shift) -> Floats:
    """The frames (n,) with a story taken off; where it was no one amount day and night, that time is left out.

    So is the time before a break that ended something: of what it ended too little is in sight.
    """
    seconds = record.seconds
    inside = (seconds > found.begins_at) & (seconds <= found.ends_at)
    if found.steady >= STEADY and not found.ends_another(0.0):
        risen = np.interp(seconds, [found.begins_at, found.full_at], [0.0, 1.0])
        return np.where(inside, frames - found.size * risen, frames)
    if found.lasts and abs(found.before) > abs(found.before + found.size):
        inside = ~inside  # it is the end of something
    near = np.convolve(inside, np.ones(2 * SPAN + 1), mode="same") > 0.5
    return np.where(near, np.nan, frames)


def _shift(record: Record, frames: Floats) -> Shift | None:
    """The story that explains some frames (n,) best."""
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
    """Fit every story, the best of each kind more finely, and let the best of all speak."""
    m = seen.values.size
    coarse = Fit(stories(m), seen.values, seen.quarter, weight)
    if not coarse.possible.any():
        return None
    memory = max(autocorrelation(coarse.residuals(int(np.argmax(coarse.gain)))), LEAST_MEMORY)
    share = effective_share(memory)
    criterion, kinds = coarse.criterion(share), coarse.told.kinds
    best = (int(np.argmin(np.where(kinds == kind, criterion, np.inf))) for kind in COARSE)
    told = finer(coarse.told, (i for i in best if coarse.possible[i]), m)
    fit = Fit(told, seen.values, seen.quarter, weight)
    i = int(np.argmin(fit.criterion(share)))
    kind, size = told.kinds[i].item(), float(fit.along[i] / fit.spread[i])

    # The same statistic as of a single break: what the shape explains of the whole, in n - 1 parts.
    statistic = (fit.n - 1) * fit.gain[i] / fit.whole
    if kind == "break":
        statistic, _ = standard_normal_homogeneity(fit.from_level[weight])
    scatter = np.sqrt(fit.left[i] / max(fit.n - QUARTERS - 2, 1))
    usual = fit.level - size * fit.in_quarter[:, i] / fit.count
    error = float(scatter / np.sqrt(fit.spread[i] * share))
    begins, full, ends = _edges(record, frames - usual[_quarter(record, seen)], told, i, size)
    return Shift(
        kind=kind,
        begins_at=begins,
        full_at=full,
        ends_at=ends,
        before=float(usual[fit.count >= 3].mean()),
        size=size,
        error=error,
        strain=max(float(share * statistic / critical_value(fit.n)), abs(size) / (BEYOND_DOUBT * error)),
        steady=fit.steady(i),
    )


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
