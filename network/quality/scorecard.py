"""The scorecard: how far off each station is and how much it scatters, each with its interval."""

from collections.abc import Mapping, Sequence
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
    values = [
        {name: _usual(each, name, at) for name in each.departures if name != "rain_amount"} for each in last
    ]
    scored = []
    for i, own in enumerate(last):
        near = _nearest(own, last)
        for name in own.departures:
            departures, errors = _laid(own, own.departures, name, at), _laid(own, own.errors, name, at)
            if name == "rain_amount":
                expected = _laid(own, own.expected, name, at)
                departures = np.where(np.fmax(expected, expected + departures) >= WET, departures, np.nan)
            if np.isfinite(departures).sum() < FEWEST:
                continue
            one = from_departures(own.station, name, departures, errors)
            others = [values[j][name] for j in near if name in values[j]]
            if name in values[i] and len(others) >= 2:
                found = collocate_one(np.array([values[i][name], *others[:NEAREST]]))
                one = _told(one, found) if np.isfinite(found.high) else one
            scored.append(one)
    return scored


def from_departures(station: int, variable: str, departures: Floats, errors: Floats) -> Scored:
    """The score of a station's departures and their expected errors alone, shapes (t,) at even steps."""
    departures = without_far_off(departures)
    known = np.isfinite(departures)
    bias, error = float(np.median(departures[known])), float(np.nanmedian(errors[known]))
    variance = np.square(departures - bias)
    own, doubt = float(np.mean(variance[known])) - error**2, SURE * standard_error_of_mean(variance)
    return Scored(
        station=station,
        variable=variable,
        bias=bias,
        bias_error=NORMAL_MEDIAN * standard_error_of_mean(departures),
        expected_error=error,
        random_error=float(np.sqrt(own)) if own > 0 else np.nan,
        low=float(np.sqrt(max(own - doubt, 0.0))),
        high=float(np.sqrt(own + doubt)) if own + doubt > 0 else np.nan,
        frames=int(known.sum()),
        independent=independent_values(departures),
        method="departures",
    )


def without_far_off(departures: Floats) -> Floats:
    """The departures without those that tell of a fault; NaN in their place."""
    low, middle, high = np.nanpercentile(departures, [16, 50, 84])
    return np.where(np.abs(departures - middle) <= FAR_OFF * (high - low) / 2, departures, np.nan)


def _told(one: Scored, found: RandomError) -> Scored:
    return replace(one, random_error=found.error, low=found.low, high=found.high, method="collocation")


def _last(records: Sequence[Record], begins_at: int, ends_at: int) -> list[Record]:
    """The newest record of each station within the span."""
    touching = [r for r in records if r.seconds[0] <= ends_at and r.seconds[-1] > begins_at]
    newest = {r.station: r for r in sorted(touching, key=lambda r: int(r.seconds[0]))}
    return [newest[station] for station in sorted(newest)]


def _laid(record: Record, by_variable: Mapping[str, Floats], name: str, at: Seconds) -> Floats:
    """One variable of a record over the frames, NaN where it has none."""
    frames = np.full(len(at), np.nan)
    if name in by_variable and len(at):
        place = (record.seconds - at[0]) // FRAME
        inside = (place >= 0) & (place < len(at))
        frames[place[inside]] = by_variable[name][inside]
    return frames


def _usual(record: Record, name: str, at: Seconds) -> Floats:
    """The values of a variable while it did not stand far off."""
    departures = _laid(record, record.departures, name, at)
    if np.isfinite(departures).sum() < FEWEST:
        return np.full(len(at), np.nan)
    return np.where(np.isfinite(without_far_off(departures)), _laid(record, record.values, name, at), np.nan)


def _nearest(own: Record, others: Sequence[Record]) -> list[int]:
    """The other stations' places in ``others``, nearest first."""
    east = np.array([r.longitude - own.longitude for r in others]) * np.cos(np.radians(own.latitude))
    north = np.array([r.latitude - own.latitude for r in others])
    return [
        int(j) for j in np.argsort(np.hypot(east, north), kind="stable") if others[j].station != own.station
    ]
