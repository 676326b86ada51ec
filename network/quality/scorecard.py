"""The scorecard: how far off each station is and how much it scatters, each with its interval."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from network.quality.record import FRAME, Record
from network.quality.window import Floats, Seconds
from network.science.collocation import SURE, RandomError, collocate_one
from network.science.sampling import independent_values, standard_error_of_mean

Method = Literal["collocation", "departures"]

FEWEST = 36
"""Frames before anything is worth saying: six hours of them (common practice)."""

NEAREST = 3
"""So many of the nearest stations tell a station's random error, in every triple they make with it."""

FAR_OFF = 4.0
"""Spreads from its median beyond which a departure tells of a fault, not of the station's usual error."""

WET = 0.1
"""[mm] Less in an hour, here and expected, says nothing of a gauge."""

NORMAL_MEDIAN = float(np.sqrt(np.pi / 2))
"""How much less certain a median is than a mean, were the errors normal."""


@dataclass(frozen=True)
class Scored:
    """One variable of one station, in the variable's unit; NaN where it could not be told."""

    station: int
    variable: str
    bias: float
    """Median of observed minus expected. How far the neighbours themselves are off is not in it."""
    bias_error: float
    """Its standard error, the memory of the series counted."""
    expected_error: float
    """Median standard error of what was expected: a bias below it may be the neighbours'."""
    random_error: float
    """Standard deviation of the station's own scatter; NaN where it is too small to be told from none."""
    low: float
    """Nine times in ten the random error lies between ``low`` and ``high``."""
    high: float
    """NaN where even that cannot be said: the neighbours agree better than they were expected to."""
    frames: int
    independent: float
    """How many independent frames they are worth."""
    method: Method
    """Of the random error."""


def card(records: Sequence[Record], begins_at: int, ends_at: int) -> list[Scored]:
    """The scorecard of a village from the frames with ``begins_at`` < end <= ``ends_at`` [UTC epoch s].

    ``records`` are all of the village's, several of a station where its metadata changed: the last counts.
    Variables with fewer than six hours of departures are left out.

    Random errors are from triple collocation with the nearest stations where two or more of them share the
    variable for long enough, else the scatter of the departures with their expected error taken off.
    """
    at = np.arange(begins_at + FRAME - begins_at % FRAME, ends_at + 1, FRAME)
    last = _last(records, begins_at, ends_at)
    usual = [_usual(each, at) for each in last]
    values = [
        {
            name: np.where(np.isfinite(departures), _laid(each, each.values[name], at), np.nan)
            for name, departures in own.items()
            if name != "rain_amount"
        }
        for each, own in zip(last, usual, strict=True)
    ]
    scored = []
    for i, own in enumerate(last):
        near = _nearest(own, last)
        for name, departures in usual[i].items():
            if np.isnan(departures).all():
                continue
            one = _biased(own.station, name, departures, _laid(own, own.errors[name], at))
            others = [values[j][name] for j in near if name in values[j]]
            found = None
            if name in values[i] and len(others) >= 2:
                found = collocate_one(np.array([values[i][name], *others[:NEAREST]]))
            if found is not None and np.isfinite(found.high):
                scored.append(_told(one, found))
            else:
                scored.append(_scattered(one, departures))
    return scored


def from_departures(station: int, variable: str, departures: Floats, errors: Floats) -> Scored:
    """The score of a station's departures and their expected errors alone, shapes (t,) at even steps."""
    departures = without_far_off(departures)
    return _scattered(_biased(station, variable, departures, errors), departures)


def without_far_off(departures: Floats) -> Floats:
    """The departures without those that tell of a fault; NaN in their place."""
    low, middle, high = np.percentile(departures[np.isfinite(departures)], [16, 50, 84])
    return np.where(np.abs(departures - middle) <= FAR_OFF * (high - low) / 2, departures, np.nan)


def _biased(station: int, variable: str, departures: Floats, errors: Floats) -> Scored:
    """The score of usual departures without a random error."""
    known = np.isfinite(departures)
    independent = independent_values(departures)
    return Scored(
        station=station,
        variable=variable,
        bias=float(np.median(departures[known])),
        bias_error=NORMAL_MEDIAN * standard_error_of_mean(departures, independent),
        expected_error=float(np.nanmedian(errors[known])),
        random_error=np.nan,
        low=np.nan,
        high=np.nan,
        frames=int(known.sum()),
        independent=independent,
        method="departures",
    )


def _scattered(one: Scored, departures: Floats) -> Scored:
    """The score with the scatter of the departures for its random error, the expected error taken off."""
    variance = np.square(departures - one.bias)
    own = float(np.mean(variance[np.isfinite(variance)])) - one.expected_error**2
    doubt = SURE * standard_error_of_mean(variance)
    return replace(
        one,
        random_error=float(np.sqrt(own)) if own > 0 else np.nan,
        low=float(np.sqrt(max(own - doubt, 0.0))),
        high=float(np.sqrt(own + doubt)) if own + doubt > 0 else np.nan,
    )


def _told(one: Scored, found: RandomError) -> Scored:
    return replace(one, random_error=found.error, low=found.low, high=found.high, method="collocation")


def _last(records: Sequence[Record], begins_at: int, ends_at: int) -> list[Record]:
    """The newest record of each station within the span."""
    touching = [r for r in records if r.seconds[0] <= ends_at and r.seconds[-1] > begins_at]
    newest = {r.station: r for r in sorted(touching, key=lambda r: int(r.seconds[0]))}
    return [newest[station] for station in sorted(newest)]


def _laid(record: Record, frames: Floats, at: Seconds) -> Floats:
    """Frames of a record laid over those at ``at``, NaN where it has none."""
    laid = np.full(len(at), np.nan)
    start = int(record.seconds[0] - at[0]) // FRAME if len(at) else 0
    part = slice(max(start, 0), max(min(start + len(frames), len(at)), 0))
    laid[part] = frames[part.start - start : part.stop - start]
    return laid


def _usual(record: Record, at: Seconds) -> dict[str, Floats]:
    """The departures while they were not far off, by variable; NaN throughout where there are too few."""
    usual = {}
    for name, frames in record.departures.items():
        departures = _laid(record, frames, at)
        if name == "rain_amount":
            expected = _laid(record, record.expected[name], at)
            departures = np.where(np.fmax(expected, expected + departures) >= WET, departures, np.nan)
        enough = np.isfinite(departures).sum() >= FEWEST
        usual[name] = without_far_off(departures) if enough else np.full(len(at), np.nan)
    return usual


def _nearest(own: Record, others: Sequence[Record]) -> list[int]:
    """The other stations' places in ``others``, nearest first."""
    east = np.array([r.longitude - own.longitude for r in others]) * np.cos(np.radians(own.latitude))
    north = np.array([r.latitude - own.latitude for r in others])
    return [
        int(j) for j in np.argsort(np.hypot(east, north), kind="stable") if others[j].station != own.station
    ]
