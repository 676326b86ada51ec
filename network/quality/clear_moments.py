"""Moments at which the sky was clear, and what share of a clear sky's light a station saw then."""

import numpy as np

from network.quality import rolling
from network.quality.check import Thresholds
from network.quality.record import FRAME, Record
from network.quality.window import Floats

EDGE = 1.3
"""[1] No sky gives more than this for ten minutes: whoever sees it has another fault, such as a wrong clock."""


def share_when_clear(record: Record, thresholds: Thresholds) -> Floats:
    """The share of the light around it that a station's light sensor saw, at the frames with a clear sky [1].

    Shape (n,), NaN in cloud, at night and where nobody knows. The other stations say when the sky was clear
    (at least ``clear`` of what it could give, with the sun above ``sun_above``). A station alone must say it
    itself: the sky counts as clear where within ``near`` it saw that much, so its shares are far less sure.
    """
    own = record.values.get("irradiance", np.full(record.seconds.shape, np.nan))
    up = record.sun_elevation > thresholds["sun_above"]
    possible = np.where(up, record.clear_sky, np.nan)
    if "irradiance" in record.around:
        around = record.around["irradiance"]
        clear = (around >= thresholds["clear"] * possible) & (around <= EDGE * possible)
        return np.where(clear, own / np.maximum(around, 1.0), np.nan)
    share = own / possible
    first = rolling.since(record.seconds, thresholds["near"])
    last = rolling.until(record.seconds, thresholds["near"] - FRAME)
    return np.where(rolling.highest(share, first, last) >= thresholds["clear"], share, np.nan)


def best_of(rows: Floats, fewest: float) -> Floats:
    """What each row reached in its best tenth, shape (rows,); NaN with fewer than ``fewest`` values in it."""
    count = np.isfinite(rows).sum(axis=1)
    ordered = np.sort(rows, axis=1)  # NaN come last
    at = np.maximum(np.ceil(0.9 * count).astype(np.intp) - 1, 0)
    return np.where(count >= fewest, ordered[np.arange(len(rows)), at], np.nan)


def best_around(daily: Floats, reach: int) -> Floats:
    """The best of the days from ``reach`` before to ``reach`` after each, shape (days,); NaN where that one is."""
    padded = np.pad(np.where(np.isfinite(daily), daily, -np.inf), reach, constant_values=-np.inf)
    best = np.lib.stride_tricks.sliding_window_view(padded, 2 * reach + 1).max(axis=1)
    return np.where(np.isfinite(daily), best, np.nan)
