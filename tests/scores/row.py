"""A line of the table of scores, and what it is reckoned from."""

from collections.abc import Callable
from dataclasses import dataclass
from time import perf_counter
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from network.spatial import scores

Floats = NDArray[np.float64]
QUANTILES = (np.arange(99) + 0.5) / 99


@dataclass(frozen=True)
class Row:
    """How one method did on one set of data, in the data's own unit."""

    dataset: str
    method: str
    rmse: float
    mae: float
    bias: float
    coverage_90: float | None
    """Share inside the 90 % interval; none for a method that gives no interval."""
    crps: float
    """Of a method that gives no interval it is its mean absolute error, as of a forecast that is certain."""
    seconds: float
    """All that the method did: learning, where it learns, and estimating."""


@dataclass(frozen=True, eq=False)
class Estimates:
    """What a method says at places and times, shape (g, t), and how likely what lies beside it is."""

    middle: Floats
    quantile: Callable[[float], Floats] | None = None

    @classmethod
    def gaussian(cls, middle: Floats, error: Floats) -> "Estimates":
        """Estimates with the standard error of whatever they will be held against."""
        return cls(middle, lambda share: middle + ndtri(share) * error)


Said = TypeVar("Said")


def timed(work: Callable[[], Said]) -> tuple[Said, float]:
    """What a method says and how long that took [s]."""
    began = perf_counter()
    said = work()
    return said, perf_counter() - began


def scored(dataset: str, method: str, said: Estimates, observed: Floats, seconds: float) -> Row:
    """The scores over all places and times together; what was not observed, or not estimated, is passed over."""
    mae = float(scores.mae(said.middle, observed))
    covered, crps = None, mae
    if said.quantile is not None:
        known = np.isfinite(observed) & np.isfinite(said.middle)
        low, high = said.quantile(0.05)[known], said.quantile(0.95)[known]
        covered = float(np.mean((low <= observed[known]) & (observed[known] <= high)))
        crps = _crps(said.quantile, observed, known)
    rmse, bias = float(scores.rmse(said.middle, observed)), float(scores.bias(said.middle, observed))
    return Row(dataset, method, rmse, mae, bias, covered, crps, seconds)


def mean_over_places(
    dataset: str, method: str, said: Estimates, observed: Floats, seconds: float
) -> list[Row]:
    """A row for each place, named by its number, and first their mean, which weighs every place alike."""

    def of(place: int) -> Row:
        here = slice(place, place + 1)
        whole = said.quantile
        part = None if whole is None else lambda share: whole(share)[here]
        return scored(f"{dataset} {place}", method, Estimates(said.middle[here], part), observed[here], 0.0)

    rows = [of(place) for place in range(len(observed))]
    known = rows[0].coverage_90 is not None
    figures = {
        name: float(np.mean([getattr(one, name) for one in rows]))
        for name in ("rmse", "mae", "bias", "crps", *(["coverage_90"] if known else []))
    }
    return [Row(**{"coverage_90": None, **figures}, dataset=dataset, method=method, seconds=seconds), *rows]


def _crps(quantile: Callable[[float], Floats], observed: Floats, known: NDArray[np.bool_]) -> float:
    """Twice the mean quantile loss, a share at a time: all quantiles of a year at once would fill the memory."""
    seen = observed[known]
    losses = []
    for share in QUANTILES:
        below = quantile(float(share))[known]
        losses.append(np.mean(np.where(seen < below, 1 - share, share) * np.abs(seen - below)))
    return 2 * float(np.mean(losses))
