"""What a map is: estimates with their errors, and how well its stations foretell one another."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from network.science.variables import Limits
from network.spatial.learnt import Method
from network.spatial.patterns import Times, gather
from network.spatial.rain import Rain
from network.spatial.scores import Scores

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Map:
    """One variable at g places and t times, NaN at a time with too few stations.

    Without the noise of an instrument: ``error`` is the standard error of the field itself.
    """

    estimate: Floats  # (g, t) [unit of the variable]
    error: Floats  # (g, t); may be a read-only view that repeats one column
    used: NDArray[np.intp]  # (t,) stations that spoke
    scores: Scores  # leaving out one station at a time, at each time
    plain_scores: Scores  # the same of inverse distance, on the same values
    limits: Limits
    method: Method = "kriging"  # the plainest of those that served best
    rain: Rain | None = None  # more about a variable that is an amount, at such times as differ
    rain_times: NDArray[np.intp] | None = None  # (t,) which of those times each time is like

    @property
    def chance(self) -> Floats | None:
        """The chance (g, t) that any fell, of a variable that is an amount."""
        return None if self.rain is None else self.rain.chance[:, self.rain_times]

    def at_times(self, which: NDArray[np.intp]) -> "Map":
        """This map's times again and again, in the order of ``which`` (t,)."""
        return replace(
            self,
            estimate=self.estimate.take(which, axis=1),
            error=self.error.take(which, axis=1),
            used=self.used[which],
            scores=self.scores.at_times(which),
            plain_scores=self.plain_scores.at_times(which),
            rain_times=which,
        )

    def interval(self, share: float = 0.9) -> tuple[Floats, Floats]:
        """The bounds that should hold ``share`` of the truths, within what is possible; both (g, t)."""
        if self.rain is not None:
            low, high = (self._possible(self.rain.quantile((1 + side * share) / 2)) for side in (-1, 1))
            return low[:, self.rain_times], high[:, self.rain_times]
        reach = self.error * ndtri((1 + share) / 2)
        return self._possible(self.estimate - reach), self._possible(self.estimate + reach)

    def _possible(self, values: Floats) -> Floats:
        return np.clip(values, self.limits.low, self.limits.high)


@dataclass(frozen=True, eq=False)
class WindMap:
    """Wind vectors at g places and t times, NaN at a time with too few stations."""

    eastward: Floats  # (g, t) [m/s]
    northward: Floats  # (g, t) [m/s]
    error: Floats  # (g, t), of either part [m/s]
    used: NDArray[np.intp]  # (t,)
    scores: Scores  # of both parts together
    plain_scores: Scores

    def interval(self, share: float = 0.9) -> tuple[Floats, Floats]:
        """The bounds that should hold ``share`` of the true speeds, never below none; both (g, t) [m/s]."""
        speed, reach = np.hypot(self.eastward, self.northward), self.error * ndtri((1 + share) / 2)
        return np.maximum(speed - reach, 0.0), speed + reach


def joined(parts: Sequence[tuple[Times, Map]], count: int) -> Map:
    """Maps of the same places at different times as one over ``count`` times, NaN at times in no part.

    Each part comes with the times it is of. The method told is that of the last.
    """
    last = parts[-1][1]
    if len(parts) == 1 and len(parts[0][0]) == count:
        return last
    estimate, error = gather([(times, (one.estimate, one.error)) for times, one in parts], count)
    rains = [(times, one.rain, one.rain_times) for times, one in parts]
    return replace(
        last,
        estimate=estimate,
        error=error,
        used=_used(parts, count),
        scores=_scores([(times, one.scores) for times, one in parts], count),
        plain_scores=_scores([(times, one.plain_scores) for times, one in parts], count),
        rain=None if last.rain is None else _rain(rains, count),
        rain_times=None if last.rain is None else np.arange(count),
    )


def joined_wind(parts: Sequence[tuple[Times, WindMap]], count: int) -> WindMap:
    """The same of the wind."""
    arrays = gather([(times, (one.eastward, one.northward, one.error)) for times, one in parts], count)
    return WindMap(
        arrays[0],
        arrays[1],
        arrays[2],
        _used(parts, count),
        _scores([(times, one.scores) for times, one in parts], count),
        _scores([(times, one.plain_scores) for times, one in parts], count),
    )


def _used(parts: Sequence[tuple[Times, Map | WindMap]], count: int) -> Times:
    used = np.zeros(count, dtype=np.intp)
    for times, one in parts:
        used[times] = one.used
    return used


def _scores(parts: Sequence[tuple[Times, Scores]], count: int) -> Scores:
    names = [name for name, value in vars(parts[0][1]).items() if value is not None]
    rows = gather([(times, [getattr(one, name)[None] for name in names]) for times, one in parts], count)
    return Scores(**{name: row[0] for name, row in zip(names, rows, strict=True)})


def _rain(parts: Sequence[tuple[Times, Rain | None, Times | None]], count: int) -> Rain:
    """Each time its own; and its own root, should they differ."""
    told = [
        (times, tuple(array[:, which] for array in (rain.chance, rain.middle, rain.spread)), rain.root)
        for times, rain, which in parts
        if rain is not None
    ]
    chance, middle, spread = gather([(times, arrays) for times, arrays, _ in told], count)
    root = np.full(count, told[-1][2], dtype=np.intp)
    for times, _, own in told:
        root[times] = own
    return Rain(chance, middle, spread, int(root[0]) if np.ptp(root) == 0 else root)
