"""How answers say things: times with their offset, values in a unit, verdicts in words, pages of time."""

from collections.abc import Sequence
from datetime import datetime, tzinfo
from functools import lru_cache
from math import isfinite
from typing import NamedTuple

import numpy as np
from django.db.models import QuerySet
from numpy.typing import ArrayLike

from network.pipeline.verdicts.steward import reasons
from network.quality.verdict import VERDICT_WORDS, verdict_of
from network.science.units import convert
from network.science.variables import VARIABLES
from stations.models import Station

Numbers = list[float | None]


def moment(seconds: float, zone: tzinfo) -> str:
    """A time in ISO 8601 with the offset of a zone."""
    return datetime.fromtimestamp(seconds, zone).isoformat()


def values(canonical: ArrayLike, variable: str, unit: str) -> Numbers:
    """Values in ``unit``, any shape flattened; None where there is none."""
    return _numbers(convert(canonical, VARIABLES[variable].unit, unit))


def differences(canonical: ArrayLike, variable: str, unit: str) -> Numbers:
    """Differences of values, where the zero of a scale does not matter."""
    own = VARIABLES[variable].unit
    return _numbers(convert(canonical, own, unit) - convert(0.0, own, unit))


def as_shown(figures: ArrayLike, station: Station) -> np.ndarray:
    """Figures that tell of distances, rounded up to one digit where a household does not show its place exactly."""
    exact = np.asarray(figures, dtype=np.float64)
    if station.shown == Station.Shown.EXACT:
        return exact
    with np.errstate(divide="ignore", invalid="ignore"):
        step = 10.0 ** np.floor(np.log10(np.abs(exact)))
        return np.where(exact == 0.0, 0.0, np.ceil(exact / step) * step)


def _numbers(converted: np.ndarray) -> Numbers:
    # Kept in single precision: seven digits are known, and the fourth decimal is finer than any instrument.
    return [
        round(float(f"{value:.7g}"), 4) + 0.0 if isfinite(value) else None
        for value in converted.ravel().tolist()
    ]


@lru_cache(maxsize=4096)
def verdict(mark: int) -> tuple[str, list[str]]:
    """The word of a mark's verdict and the names of the checks that spoke."""
    return VERDICT_WORDS[int(verdict_of(mark))], reasons(mark)


def variables(names: Sequence[str], units: dict[str, str]) -> dict[str, dict[str, str]]:
    """What each variable is, for readers of files: words, CF standard name, unit."""
    return {
        name: {
            "words": VARIABLES[name].words,
            "standard_name": VARIABLES[name].standard_name,
            "unit": units[name],
        }
        for name in names
    }


class Page(NamedTuple):
    """Times ``first`` <= t < ``stop`` make the page; ``follows`` is the 'from' of the next, if there is one."""

    first: int
    stop: int
    follows: int | None


def page(times: QuerySet, asked: dict, begins: bool) -> Page:
    """Cut what was asked for into a page; ``times`` are those of the table, as a flat list of values.

    Beginnings are told from 'from' on and before 'to'; ends of periods after 'from' and up to 'to'.
    """
    first, last = (asked[edge] + (0 if begins else 1) for edge in ("from", "to"))
    column = times.query.values_select[0]
    within = times.filter(**{f"{column}__gte": first, f"{column}__lt": last}).order_by(column).distinct()
    edge = list(within[asked["limit"] - 1 : asked["limit"] + 1])
    if len(edge) < 2:
        return Page(first, last, None)
    return Page(first, edge[1], edge[1] if begins else edge[0])
