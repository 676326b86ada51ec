"""How a station has done of late: its departures from the neighbours, and how regularly it reports."""

from dataclasses import dataclass

import numpy as np

from network.models import Comparison, Observation
from network.models.comparison import DEPARTURES, ERRORS
from network.models.storage import Floats, read
from network.science.sun import solar_position

FEWEST = 36
"""Frames before a median is worth saying: six hours of them (common practice)."""

HIGH_SUN = 15.0
"""[deg] From this elevation on, sunshine warms a badly shaded thermometer (common practice)."""


@dataclass(frozen=True)
class Score:
    """Departures of one variable, observed minus expected, in its canonical unit; NaN where too few."""

    variable: str
    median: float
    spread: float  # half the width of the middle 68 %: a standard deviation, were they normal
    error: float  # median standard error of what was expected
    frames: int
    by_day: float  # median while the sun stands high
    by_night: float  # median while it is down


@dataclass(frozen=True)
class Regularity:
    """How a station reported over a span."""

    share: float  # [1] of the reports due
    longest_silence: int  # [s]
    silent_from: int  # [UTC epoch s] when that began


def scores(station: int, begins_at: int, ends_at: int, latitude: float, longitude: float) -> list[Score]:
    """A score for each variable that could be compared often enough."""
    rows = read(Comparison, [station], begins_at, ends_at + 1, (*DEPARTURES, *ERRORS))
    if not len(rows):
        return []
    sun, _ = solar_position(rows.at, latitude, longitude)
    return [
        _score(name, rows.columns[name], rows.columns[f"{name}_error"], sun)
        for name in DEPARTURES
        if np.isfinite(rows.columns[name]).sum() >= FEWEST
    ]


def _score(name: str, departures: Floats, errors: Floats, sun: Floats) -> Score:
    known = np.isfinite(departures)
    low, middle, high = np.percentile(departures[known], [16, 50, 84])
    return Score(
        variable=name,
        median=float(middle),
        spread=float(high - low) / 2,
        error=float(np.nanmedian(errors[known])),
        frames=int(known.sum()),
        by_day=_median(departures[known & (sun >= HIGH_SUN)]),
        by_night=_median(departures[known & (sun < 0)]),
    )


def _median(values: Floats) -> float:
    return float(np.median(values)) if len(values) >= FEWEST else np.nan


def regularity(station: int, begins_at: int, ends_at: int, report_every: int) -> Regularity | None:
    """Over the span, from its first observation on; None where there is none."""
    at = read(Observation, [station], begins_at + 1, ends_at + 1, ()).at
    if not len(at):
        return None
    due = max((ends_at - at[0]) // report_every + 1, 1)
    silences = np.diff(np.append(at, ends_at))
    longest = int(silences.argmax())
    return Regularity(min(len(at) / due, 1.0), int(silences[longest]), int(at[longest]))
