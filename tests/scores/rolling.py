"""Values estimated from the record of the days before them, as a village would."""

import numpy as np
from numpy.typing import NDArray

from network.spatial import record
from network.spatial.field import Field
from network.spatial.sites import Sites
from tests.scores.row import Estimates

Floats = NDArray[np.float64]

RECORD = 30
"""Days a record reaches back; as many pass before anything is scored."""

PARTS = 8
"""Parts of the day that have means of their own."""

DAY = 86400


def each_from_the_others(
    sites: Sites, noise: float, field: Field, values: Floats, seconds: NDArray[np.int64], every: int = 1
) -> Estimates:
    """Every station by the others, values (n, t), with what the thirty days before taught, learnt anew ``every`` so many days."""
    day, part = seconds // DAY - seconds[0] // DAY, seconds % DAY * PARTS // DAY
    middle, error = np.full(values.shape, np.nan), np.full(values.shape, np.nan)
    for today in range(RECORD, int(day[-1]) + 1, every):
        past, now = (day >= today - RECORD) & (day < today), (day >= today) & (day < today + every)
        if now.any():
            learnt = record.learn(sites, noise, field, values[:, past], part[past])
            middle[:, now], error[:, now] = learnt.without(values[:, now], part[now])
    return Estimates.gaussian(middle, error)
