"""The pure engines: all checks of a month, a day of maps, leaving one out of a hundred."""

import warnings
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from pykrige.ok import OrdinaryKriging
from scipy.ndimage import maximum_filter1d, minimum_filter1d
from scipy.spatial.distance import cdist

from network.quality import register
from network.quality.verdict import decide
from network.quality.window import Window
from network.science.sun import clear_sky_irradiance, solar_position
from network.science.variables import MAPPED, VARIABLES
from network.spatial.distance import local_plane
from network.spatial.field import Field
from network.spatial.leave_one_out import leave_one_out
from network.spatial.neighbours import expected_from_neighbours
from network.spatial.sites import Grid, Sites
from network.spatial.village import map_field
from tests.bench.figure import Figure, taking_turns, timed
from tests.village import Places, five_minutes, places

STATIONS = 10
CHECKED = (
    "air_temperature",
    "relative_humidity",
    "station_pressure",
    "wind_speed",
    "wind_gust",
    "wind_from_direction",
    "rain_amount",
    "irradiance",
    "dew_point",
)
Floats = NDArray[np.float64]


def measure(database: str) -> Iterator[Figure]:
    """Seconds of the checks and the maps, milliseconds of leaving one out."""
    where = _places(STATIONS)
    yield _check_month(where)
    yield _map_day(where)
    yield _leave_one_out()


def _places(count: int) -> Places:
    random = np.random.default_rng(5)
    return places(random.uniform(-1200, 1200, count), random.uniform(-950, 950, count))


def _sites(where: Places) -> Sites:
    east, north = local_plane(where.latitude, where.longitude, (47.312, 8.914))
    return Sites(east, north, where.elevation)


def _check_month(where: Places) -> Figure:
    seconds = five_minutes("2026-05-01", 30)
    truth = where.truth(seconds)
    random = np.random.default_rng(2)
    said = {
        name: truth[name] + random.normal(0, VARIABLES[name].accuracy / 4, truth[name].shape)
        for name in CHECKED
    }
    for name in ("wind_speed", "wind_gust", "rain_amount", "irradiance"):
        said[name] = np.maximum(truth[name], 0.0)
    elevation, _ = solar_position(seconds, 47.312, 8.914)
    clear = clear_sky_irradiance(elevation)
    windows = [
        Window(
            station=i,
            seconds=seconds,
            values={name: said[name][i] for name in CHECKED},
            elevation=float(where.elevation[i]),
            latitude=float(where.latitude[i]),
            longitude=float(where.longitude[i]),
            report_every=300.0,
            ranges={"air_temperature": (233.15, 333.15), "relative_humidity": (0.0, 1.0)},
            resolution={"air_temperature": 0.1, "relative_humidity": 0.01},
            noise={},
            sun_elevation=elevation,
            clear_sky=clear,
            repeated={},
            overrides={},
        )
        for i in range(STATIONS)
    ]
    sites = _sites(where)
    value, bar, ratio = taking_turns(
        "check_month",
        3,
        timed(lambda: _all_checks(windows, sites, said)),
        timed(lambda: _one_pass(seconds, said)),
    )
    return Figure("check_month", value, "s", bar, ratio, "<= 40")


def _all_checks(windows: list[Window], sites: Sites, said: dict[str, Floats]) -> None:
    """What the pipeline asks of the engines: alone, trust, neighbours, verdicts."""
    alone = [register.look_alone(window) for window in windows]
    trust = [register.trusted(window, seen) for window, seen in zip(windows, alone, strict=True)]
    expected: list[dict[str, tuple[Floats, Floats]]] = [{} for _ in windows]
    for name in (name for name in MAPPED if name in said):
        trusted = np.stack([fit[name] for fit in trust])
        found = expected_from_neighbours(
            sites, VARIABLES[name].accuracy, Field.of(VARIABLES[name].field), said[name], trusted
        )
        for i, own in enumerate(expected):
            own[name] = (found.expected[i], found.error[i])
    for window, seen, expects in zip(windows, alone, expected, strict=True):
        decide(window, seen + register.look_at_neighbours(window, expects))


def _one_pass(seconds: NDArray[np.int64], said: dict[str, Floats]) -> None:
    """The plainest thing anyone would call quality control: limits, step and stuck, each on whole arrays."""
    for name, values in said.items():
        variable = VARIABLES[name]
        flags = (values < variable.limits.low) | (values > variable.limits.high)
        if variable.step:
            change = np.abs(np.diff(values, axis=1)) / np.diff(seconds)
            flags[:, 1:] |= change > variable.step.minute / 60.0
        if variable.stillness:
            length = int(variable.stillness.seconds // 300) + 1
            spread = maximum_filter1d(values, length, axis=1) - minimum_filter1d(values, length, axis=1)
            flags |= spread < variable.stillness.least_change


def _map_day(where: Places) -> Figure:
    variable = VARIABLES["sea_level_pressure"]  # no gradient: the same covariance in both
    prior = variable.field
    seconds = five_minutes("2026-05-10", 1)
    sites, values = _sites(where), where.truth(seconds)["sea_level_pressure"]
    noise = variable.accuracy
    grid = Grid(-1200, -950, 1200, 950, 200, 200)

    def ours() -> None:
        map_field(variable, sites, noise, values, grid)

    def reference() -> None:
        model = {"psill": prior.spread**2, "range": 3 * prior.reach, "nugget": noise**2}
        for t in range(len(seconds)):
            kriging = OrdinaryKriging(
                sites.east,
                sites.north,
                values[:, t],
                variogram_model="exponential",
                variogram_parameters=model,
            )
            kriging.execute("grid", grid.eastings, grid.northings)

    ours()  # the memory of a day's maps is asked for once
    with warnings.catch_warnings(action="ignore"):
        value, bar, ratio = taking_turns("map_day", 3, timed(ours, 5), timed(reference))
    return Figure("map_day", value, "s", bar, 1 / ratio, ">= 30")


def _leave_one_out() -> Figure:
    random = np.random.default_rng(1)
    sites = Sites.at(*random.uniform(0, 20000, (2, 100)), random.uniform(0, 900, 100))
    noise, values, field = random.uniform(0.2, 1, 100), random.normal(0, 3, (100, 1)), Field(0.8, 1500)
    value, bar, ratio = taking_turns(
        "leave_one_out_100",
        9,
        timed(lambda: leave_one_out(sites, noise, field, values), 20),
        timed(lambda: refit_each(sites, noise, field, values[:, 0])),
    )
    return Figure("leave_one_out_100", value * 1e3, "ms", bar * 1e3, 1 / ratio, ">= 50")


def refit_each(sites: Sites, noise: Floats, field: Field, values: Floats) -> tuple[Floats, Floats]:
    """Ordinary kriging by its equations (Cressie 1993, eq. 3.2.12), solved anew without each station."""
    n = len(sites)
    expected, error = np.empty(n), np.empty(n)
    for i in range(n):
        others = np.arange(n) != i
        covariance = field.covariance(cdist(sites.plane[others], sites.plane))
        system = np.ones((n, n))
        system[-1, -1] = 0.0
        system[:-1, :-1] = covariance[:, others] + np.diag(noise[others] ** 2)
        right = np.append(covariance[:, i], 1.0)
        weights = np.linalg.solve(system, right)
        expected[i] = weights[:-1] @ values[others]
        error[i] = np.sqrt(field.spread**2 - weights @ right)
    return expected, error
