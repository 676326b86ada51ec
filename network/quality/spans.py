"""The long run in spans of six hours: how far a station stands off its neighbours, free of gusts and gaps."""

from dataclasses import dataclass

import numpy as np

from network.quality.record import FRAME, Record
from network.quality.window import Floats, Seconds
from network.science.moisture import saturation_vapour_pressure

SPAN = 36
"""[frames] Six hours, four to the day of the clock, so that each span has its like on every other day."""

QUARTERS = 4
ENOUGH = 12
"""[frames] A span with fewer is not known."""

BREEZE = 1.5
"""[m/s] Winds below it say little about the ratio of two rotors (common practice)."""

COMPARED = {
    "air_temperature": "air_temperature",
    "relative_humidity": "dew_point",
    "station_pressure": "sea_level_pressure",
    "wind_speed": "wind_speed",
}
"""What an instrument measures, and what of it is compared with the neighbours."""


@dataclass(frozen=True)
class Spans:
    """Arrays of shape (m,), one value for each span of six hours that the record touches."""

    ends: Seconds
    """UTC epoch [s] of the ends of the spans."""
    values: Floats
    """NaN where too little was compared."""
    quarter: Seconds
    """Which part of the day, 0 to 3."""


def stands_off(record: Record, variable: str) -> Floats:
    """How far the instrument for ``variable`` stands off, frame by frame, shape (n,); NaN where unknown.

    In the unit of the variable. Of humidity, its distance from what the neighbours' dew point makes at the
    neighbours' temperature, so that a false thermometer does not show in it. Of wind, the share by which it
    differs from what is expected, where that is a breeze at least.
    """
    compared = COMPARED[variable]
    if compared not in record.departures or variable not in record.values:
        return np.full(record.seconds.shape, np.nan)
    departures = record.departures[compared]
    if variable == "relative_humidity":
        if "air_temperature" not in record.expected:
            return np.full(record.seconds.shape, np.nan)
        expected = saturation_vapour_pressure(record.expected["dew_point"]) / saturation_vapour_pressure(
            record.expected["air_temperature"]
        )
        return record.values[variable] - np.minimum(expected, 1.0)
    if variable == "wind_speed":
        expected = record.expected["wind_speed"]
        return np.where(expected >= BREEZE, departures / np.maximum(expected, BREEZE), np.nan)
    return departures


def spans(record: Record, frames: Floats) -> Spans:
    """The medians of ``frames`` (n,) over the spans."""
    long = SPAN * FRAME
    first, last = (int(at - 1) // long for at in record.seconds[[0, -1]])
    padded = np.full((last - first + 1) * SPAN, np.nan)
    start = int((record.seconds[0] - 1) % long) // FRAME
    padded[start : start + frames.size] = frames
    # Sorting puts what is missing last: far quicker than a median that passes over NaN.
    ordered = np.sort(padded.reshape(-1, SPAN), axis=1)
    known = np.isfinite(ordered).sum(axis=1)
    rows = np.arange(known.size)
    low, high = np.maximum(known - 1, 0) // 2, np.minimum(known // 2, SPAN - 1)
    values = np.where(known >= ENOUGH, (ordered[rows, low] + ordered[rows, high]) / 2, np.nan)
    which = first + rows
    return Spans((which + 1) * long, values, which % QUARTERS)


def in_unit(
    record: Record, variable: str, begins_at: int, ends_at: int, size: float, error: float
) -> tuple[float, float]:
    """A size and its error as ``stands_off`` has them, in the unit of the variable: wind from share to speed."""
    if variable != "wind_speed":
        return size, error
    inside = (record.seconds > begins_at) & (record.seconds <= ends_at)
    blown = float(np.nanmean(record.expected[variable][inside]))
    return size * blown, error * blown
