"""Village maps at their largest: two days of them, a thousand stations, leaving one out of three hundred."""

import warnings
from collections.abc import Iterator
from ctypes import CDLL

import numpy as np
from numpy.typing import NDArray
from pykrige.ok import OrdinaryKriging

from network.pipeline.maps.operators import operator_of
from network.pipeline.maps.runs import Run
from network.science.variables import VARIABLES
from network.spatial import rain
from network.spatial.distance import local_plane
from network.spatial.field import Field
from network.spatial.learnt import Learnt, learn
from network.spatial.leave_one_out import leave_one_out
from network.spatial.prior import Prior
from network.spatial.sites import Grid, Sites
from network.spatial.village import map_field, targets_of
from tests.bench.engines import refit_each
from tests.bench.figure import Figure, taking_turns, timed
from tests.village import five_minutes, places

MAPPED = ("air_temperature", "dew_point", "sea_level_pressure", "rain_amount")
BY_PYKRIGE = 8
"""Maps of each variable that PyKrige draws: all would take it minutes, and each costs it the same."""

Floats = NDArray[np.float64]


def measure(database: str) -> Iterator[Figure]:
    """Seconds from arrays to maps with their errors, and of what neighbours foretell."""
    _keep_memory()
    yield from _two_days()
    yield _thousand_stations()
    yield _leave_one_out()


def _keep_memory() -> None:
    """Let memory once asked for be used again, by ours and the reference alike.

    Else the kernel clears gigabytes of it anew each time, which takes it from a fifth of a second to two.
    """
    mmap_max, trim_threshold = -4, -1  # as malloc.h of the GNU C library has them
    mallopt = getattr(CDLL(None), "mallopt", lambda option, value: None)
    mallopt(mmap_max, 0)
    mallopt(trim_threshold, 2**31 - 1)


def _two_days() -> Iterator[Figure]:
    """Every cell of every map; and the weights from which the interface for programs lets others make them."""
    random = np.random.default_rng(5)
    where = places(random.uniform(-1200, 1200, 10), random.uniform(-950, 950, 10))
    sites = Sites(*local_plane(where.latitude, where.longitude, (47.312, 8.914)), where.elevation)
    values = where.truth(five_minutes("2026-05-10", 2))
    learnt = {name: _learnt(name, sites, values[name]) for name in MAPPED}
    grid = Grid(-1200, -950, 1200, 950, 200, 200)
    everybody, times = np.ones(10, bool), np.arange(values[MAPPED[0]].shape[1])

    def drawn() -> None:
        for name in MAPPED:
            variable = VARIABLES[name]
            map_field(variable, sites, variable.accuracy, values[name], grid, learnt[name])

    def sent() -> None:
        for name in MAPPED:
            noise = np.full(10, VARIABLES[name].accuracy)
            run = Run(times, learnt[name], tuple(range(10)), sites, noise, values[name][None])
            operator_of(name, run, everybody, times, targets_of(sites, grid))

    def reference() -> None:
        for name in MAPPED:
            field, noise = learnt[name].field, VARIABLES[name].accuracy
            model = {"psill": field.spread**2, "range": 3 * field.reach, "nugget": noise**2}
            for t in range(BY_PYKRIGE):
                kriging = OrdinaryKriging(
                    sites.east,
                    sites.north,
                    values[name][:, t],
                    variogram_model="exponential",
                    variogram_parameters=model,
                )
                kriging.execute("grid", grid.eastings, grid.northings)

    more = len(times) / BY_PYKRIGE
    for name, ours in (("maps_two_days", drawn), ("maps_two_days_as_sent", sent)):
        ours()  # the memory of the maps is asked for once
        with warnings.catch_warnings(action="ignore"):
            value, bar, ratio = taking_turns(name, 3, timed(ours), timed(reference))
        yield Figure(name, value, "s (<= 3)", bar * more, more / ratio, ">= 50")


def _learnt(name: str, sites: Sites, values: Floats) -> Learnt:
    variable = VARIABLES[name]
    from_values = rain.learn if variable.summary == "sum" else learn
    return from_values(sites, variable.accuracy, values, Prior.of(variable.field))


def _thousand_stations() -> Figure:
    random = np.random.default_rng(1)
    sites = Sites.at(*random.uniform(0, 30000, (2, 1000)), random.uniform(0, 500, 1000))
    variable = VARIABLES["air_temperature"]
    values = random.normal(280, 1, (1000, 1))
    places_ = Grid(0, 0, 30000, 30000, 300, 300).sites(250.0)
    value = min(timed(lambda: map_field(variable, sites, 0.4, values, places_))() for _ in range(3))
    return Figure("map_thousand_stations", value, "s (<= 2)", None, None, "")


def _leave_one_out() -> Figure:
    random = np.random.default_rng(1)
    sites = Sites.at(*random.uniform(0, 20000, (2, 300)), random.uniform(0, 900, 300))
    noise, values, field = random.uniform(0.2, 1, 300), random.normal(0, 3, (300, 1)), Field(0.8, 1500)
    value, bar, ratio = taking_turns(
        "leave_one_out_300",
        3,
        timed(lambda: leave_one_out(sites, noise, field, values), 10),
        timed(lambda: refit_each(sites, noise, field, values[:, 0])),
    )
    return Figure("leave_one_out_300", value * 1e3, "ms", bar * 1e3, 1 / ratio, ">= 100")
