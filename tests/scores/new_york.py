"""Temperature at JFK from the two other airports of New York, every hour of 2013 [K]."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from network.science.variables import VARIABLES
from network.spatial.distance import local_plane
from network.spatial.field import Field
from network.spatial.sites import Sites
from tests.datasets import new_york, new_york_airports
from tests.scores import rolling
from tests.scores.rivals import RIVALS, each_from_the_others
from tests.scores.row import Estimates, Row, scored, timed

TEMPERATURE = VARIABLES["air_temperature"]
AIRPORTS = ("JFK", "EWR", "LGA")


def measure() -> Iterator[Row]:
    """Ours and the others, at JFK alone; its one false hour is left in, to learn from and to be scored on."""
    sites, values, seconds = airports()
    past = values[:, seconds < seconds[0] + rolling.RECORD * rolling.DAY]
    said, took = timed(
        lambda: rolling.each_from_the_others(
            sites, TEMPERATURE.accuracy, Field.of(TEMPERATURE.field), values, seconds
        )
    )
    jfk = np.where(np.isfinite(said.middle), values, np.nan)[:1]
    yield scored("new-york", "ours", _first(said), jfk, took)
    for name, method in RIVALS.items():
        said, took = timed(lambda method=method: each_from_the_others(method, sites, past, values))
        yield scored("new-york", name, _first(said), jfk, took)


def airports() -> tuple[Sites, NDArray[np.float64], NDArray[np.int64]]:
    """Places, temperatures (3, t) [K] of the hours all three report, and when [epoch seconds]."""
    place = new_york_airports().loc[list(AIRPORTS)]
    east, north = local_plane(place["lat"], place["lon"], (40.70, -73.94))
    table = new_york().pivot(index="utc", columns="origin", values="temp")[list(AIRPORTS)].dropna()
    sites = Sites.at(east, north, place["alt"] * 0.3048)
    return sites, (table.to_numpy().T - 32) * 5 / 9 + 273.15, table.index.as_unit("s").asi8


def _first(said: Estimates) -> Estimates:
    whole = said.quantile
    return Estimates(said.middle[:1], None if whole is None else lambda share: whole(share)[:1])
