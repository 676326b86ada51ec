"""A record cut into days from midnight to midnight by the sun at its place."""

from dataclasses import dataclass
from typing import Self

import numpy as np

from network.quality.record import FRAME, Record
from network.quality.window import Bools, Floats, Seconds

DAY = 86400
FRAMES = DAY // FRAME
"""In a day."""


@dataclass(frozen=True)
class SolarDays:
    """Where the frames of a record lie among its days."""

    lead: int
    """Frames of the first day that the record does not have."""
    frames: int
    """Of the record."""
    days: int
    begins_at: Seconds
    """[UTC epoch s] When each day begins, shape (days,)."""

    @classmethod
    def of(cls, record: Record) -> Self:
        # A frame belongs to the day its middle falls in.
        solar = record.seconds[0] - FRAME / 2 + record.longitude * DAY / 360
        lead = int(solar % DAY // FRAME)
        days = -(-(lead + record.seconds.size) // FRAMES)
        first = int(record.seconds[0]) - FRAME * (lead + 1)
        return cls(lead, record.seconds.size, days, first + DAY * np.arange(days, dtype=np.int64))

    def fold(self, values: Floats, reach: int = 0) -> Floats:
        """The values of each day a row, with ``reach`` frames of the days before and after at its ends.

        Shape (days, FRAMES + 2 * reach), NaN where there are none.
        """
        padded = np.full(self.days * FRAMES + 2 * reach, np.nan)
        padded[reach + self.lead : reach + self.lead + values.size] = values
        return np.lib.stride_tricks.sliding_window_view(padded, FRAMES + 2 * reach)[::FRAMES]

    def unfold(self, rows: Floats | Bools) -> Floats:
        """Rows of days, shape (days, FRAMES), as a value for each frame of the record, shape (n,)."""
        return np.asarray(rows, dtype=np.float64).ravel()[self.lead : self.lead + self.frames]
