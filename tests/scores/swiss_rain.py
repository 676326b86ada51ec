"""Rain of one day at 367 gauges from 100 others (Spatial Interpolation Comparison 1997), tenths of a millimetre."""

from collections.abc import Iterator

import numpy as np

from network.science.variables import VARIABLES
from network.spatial import rain
from network.spatial.learnt import Learnt
from network.spatial.prior import Prior
from network.spatial.sites import Sites
from network.spatial.village import map_field
from tests.datasets import swiss_rain
from tests.scores.rivals import RIVALS
from tests.scores.row import Estimates, Row, scored, timed

RAIN = VARIABLES["rain_amount"]
TENTHS = 10.0  # in a millimetre


def measure() -> Iterator[Row]:
    """Ours, which learns from the 100 alone, and the others."""
    given, hidden = swiss_rain()
    sites, places = (Sites.at(part["x"], part["y"], part["elevation"]) for part in (given, hidden))
    values, truth = given[["rain"]].to_numpy(), hidden[["rain"]].to_numpy()
    said, seconds = timed(lambda: ours(sites, values, places)[0])
    yield scored("swiss-rain", "ours", said, truth, seconds)
    flat, there = Sites.at(given["x"], given["y"]), Sites.at(hidden["x"], hidden["y"])
    for name, method in RIVALS.items():
        said, seconds = timed(lambda method=method: method(flat, values, values, there))
        yield scored("swiss-rain", name, said, truth, seconds)


def ours(sites: Sites, values: np.ndarray, places: Sites) -> tuple[Estimates, Learnt]:
    """Estimates in tenths of a millimetre from values in the same, and what was learnt from these."""
    fallen = values / TENTHS
    learnt = rain.learn(sites, RAIN.accuracy, fallen, Prior.from_values(sites, fallen))
    found = map_field(RAIN, sites, RAIN.accuracy, fallen, places, learnt)
    assert found.rain is not None
    return Estimates(TENTHS * found.estimate, lambda share: TENTHS * found.rain.quantile(share)), learnt
