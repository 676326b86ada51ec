"""``python -m tests.bench.cost``: what a day of maps costs by stations and cells, as a plot in ``build/maps-cost.html``."""

import os
import time
from collections.abc import Callable, Sequence
from statistics import median

import numpy as np
import plotly.graph_objects as go
from pykrige.ok import OrdinaryKriging
from tqdm import tqdm

from network.science.variables import VARIABLES
from network.spatial.field import Field
from network.spatial.sites import Grid, Sites
from network.spatial.village import map_field
from tests.services import ROOT

STATIONS = (5, 10, 20, 50, 100, 200, 500, 1000)
SIDES = (50, 100, 200, 300)
BY_PYKRIGE = 200
"""Stations beyond which the reference is left out: it would take minutes."""

MAPS = 144
"""A map every ten minutes. The reference draws one of them, and each costs it the same."""

ROUNDS = 3
SPAN = 30_000.0  # [m]
NOISE = 0.4  # [K]
VARIABLE = VARIABLES["air_temperature"]
OUT = ROOT / "build" / "maps-cost.html"

Measured = dict[tuple[int, int], float]
"""Seconds of the CPU for the maps and their standard errors, by stations and cells along a side."""


def main() -> None:
    """Measure every pair, print the table, draw the plot."""
    ours = _measured(_ours, STATIONS)
    one = _measured(_one_by_pykrige, [count for count in STATIONS if count <= BY_PYKRIGE])
    theirs = {pair: MAPS * seconds for pair, seconds in one.items()}
    print("stations  cells    ours [s]  PyKrige [s]")
    for (count, side), seconds in ours.items():
        reference = theirs.get((count, side), np.nan)
        print(f"{count:>8} {side**2:>6} {seconds:>11.4f} {reference:>12.3f}".replace("nan", "  –"))
    OUT.parent.mkdir(exist_ok=True)
    _plot(ours, theirs).write_html(OUT)
    print(f"Drawn in {OUT.relative_to(ROOT)}.")


def _measured(draw: Callable[[Sites, np.ndarray, Grid], object], counts: Sequence[int]) -> Measured:
    random, found = np.random.default_rng(1), {}
    for count in tqdm(counts, desc=draw.__name__.strip("_"), leave=False):
        sites = Sites.at(*random.uniform(0, SPAN, (2, count)), random.uniform(0, 500, count))
        values = random.normal(280, 1, (count, MAPS))
        for side in SIDES:
            grid = Grid(0, 0, SPAN, SPAN, side, side)
            found[count, side] = median(_cpu(lambda: draw(sites, values, grid)) for _ in range(ROUNDS))  # noqa: B023
    return found


def _cpu(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def _ours(sites: Sites, values: np.ndarray, grid: Grid) -> None:
    map_field(VARIABLE, sites, NOISE, values, grid.sites(250.0))


def _one_by_pykrige(sites: Sites, values: np.ndarray, grid: Grid) -> None:
    field = Field.of(VARIABLE.field)
    model = {"psill": field.spread**2, "range": 3 * field.reach, "nugget": NOISE**2}
    kriging = OrdinaryKriging(
        sites.east, sites.north, values[:, 0], variogram_model="exponential", variogram_parameters=model
    )
    kriging.execute("grid", grid.eastings, grid.northings)


def _plot(ours: Measured, theirs: Measured) -> go.Figure:
    """A line for each size of the map, over stations; both axes by powers of ten."""
    figure = go.Figure()
    inks = ("#9db4c0", "#5c8097", "#2f5b78", "#12344d")
    for found, name, dash in ((ours, "this engine", "solid"), (theirs, "PyKrige", "dot")):
        for side, ink in zip(SIDES, inks, strict=True):
            counts = [count for count, cells in found if cells == side]
            figure.add_scatter(
                x=counts,
                y=[found[count, side] for count in counts],
                name=f"{name}, {side} × {side}",
                mode="lines+markers",
                line={"color": ink, "dash": dash},
            )
    figure.update_layout(
        title=f"{MAPS} maps with their standard errors: seconds of one processor",
        template="plotly_white",
        xaxis={"title": "stations", "type": "log"},
        yaxis={"title": "seconds", "type": "log"},
    )
    return figure


if __name__ == "__main__":
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    main()
