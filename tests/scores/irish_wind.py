"""Daily wind at each of twelve places from the eleven others: half of 18 years to learn, half to score [knots]."""

from collections.abc import Iterator

import numpy as np

from network.science.variables import VARIABLES
from network.spatial import record
from network.spatial.distance import local_plane
from network.spatial.fitting import fit
from network.spatial.prior import Prior
from network.spatial.sites import Sites
from tests.datasets import irish_wind
from tests.scores.rivals import RIVALS, each_from_the_others
from tests.scores.row import Estimates, Row, mean_over_places, timed

LEARNING = 3287
"""The first days: half of all."""

KNOT = 0.514444  # [m/s]
NOISE = VARIABLES["wind_speed"].accuracy / KNOT


def measure() -> Iterator[Row]:
    """Ours and the others; the figures are means over the twelve."""
    wind, place = irish_wind()
    sites = Sites(*local_plane(place["lat"], place["lon"], (53.3, -8.0)), np.zeros(len(place)))
    values, month = wind.to_numpy().T, wind.index.month.to_numpy() - 1
    past, now = values[:, :LEARNING], values[:, LEARNING:]
    said, seconds = timed(lambda: ours(sites, past, now, month))
    yield mean_over_places("irish-wind", "ours", said, now, seconds)[0]
    for name, method in RIVALS.items():
        said, seconds = timed(lambda method=method: each_from_the_others(method, sites, past, now))
        yield mean_over_places("irish-wind", name, said, now, seconds)[0]


def ours(sites: Sites, past: np.ndarray, now: np.ndarray, month: np.ndarray) -> Estimates:
    """The record of each month of the year, and of who follows whom."""
    field = fit(sites, NOISE, past, Prior.from_values(sites, past)).field
    learnt = record.learn(sites, NOISE, field, past, month[:LEARNING])
    return Estimates.gaussian(*learnt.without(now, month[LEARNING:]))
