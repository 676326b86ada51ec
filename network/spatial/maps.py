"""What a map is: estimates with their errors, and how well its stations foretell one another."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from network.science.variables import Limits
from network.spatial.learnt import Method
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
