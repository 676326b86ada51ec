"""Temperature at each of four turbines from the three others, every ten minutes of 2014 [K]."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from network.science.variables import VARIABLES
from network.spatial.distance import local_plane
from network.spatial.field import Field
from network.spatial.sites import Sites
from tests.datasets import HAUTE_BORNE_PLACES, haute_borne
from tests.scores import rolling
from tests.scores.rivals import RIVALS, each_from_the_others
from tests.scores.row import Row, mean_over_places, timed

TEMPERATURE = VARIABLES["air_temperature"]
ERROR_CODE = -100.0  # [°C] Below this a code is passed on as a value.
FAULT = ("R80721", "2014-06-08 14:10", "2014-06-10 00:10")
"""Where the data are known to be false (stuck and error codes by turns), for every method alike."""


def measure() -> Iterator[Row]:
    """Ours and the others: the mean over the sites, and each site by its number."""
    sites, values, seconds = turbines()
    past = values[:, np.isfinite(values).all(axis=0) & (seconds < seconds[0] + rolling.RECORD * rolling.DAY)]
    said, took = timed(
        lambda: rolling.each_from_the_others(
            sites, TEMPERATURE.accuracy, Field.of(TEMPERATURE.field), values, seconds, every=7
        )
    )
    scored = np.where(np.isfinite(said.middle) & np.isfinite(values).all(axis=0), values, np.nan)
    yield from mean_over_places("haute-borne", "ours", said, scored, took)
    for name, method in RIVALS.items():
        said, took = timed(lambda method=method: each_from_the_others(method, sites, past, values))
        yield from mean_over_places("haute-borne", name, said, scored, took)


def turbines() -> tuple[Sites, NDArray[np.float64], NDArray[np.int64]]:
    """Places, temperatures (4, t) [K] without known faults, and when [epoch seconds]."""
    rows = haute_borne().drop_duplicates(["Wind_turbine_name", "t"])
    table = rows.pivot(index="t", columns="Wind_turbine_name", values="Ot_avg")[list(HAUTE_BORNE_PLACES)]
    table = table.mask(table < ERROR_CODE)
    turbine, begin, end = FAULT
    table.loc[begin:end, turbine] = np.nan
    table = table.dropna(how="all")
    latitude, longitude = np.array(list(HAUTE_BORNE_PLACES.values())).T
    sites = Sites(*local_plane(latitude, longitude, (48.45, 5.59)), np.full(4, 411.0))
    seconds = table.index.as_unit("s").asi8
    return sites, table.to_numpy().T + 273.15, seconds
