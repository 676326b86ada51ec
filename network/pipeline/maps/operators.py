"""Maps as what makes them: weights that carry the stations' readings to a grid, one set for many times."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from network.models import VillageMap
from network.models.storage import Floats
from network.pipeline.maps.ground import on_its_ground
from network.pipeline.maps.runs import Run, runs
from network.pipeline.metadata.stretches import Stretch
from network.science.variables import VARIABLES
from network.spatial import rain
from network.spatial.patterns import Mask, Times, patterns
from network.spatial.sites import Grid, Sites
from network.spatial.village import LEAST, TooFew, targets_of
from stations.models import Village

Singles = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Operator:
    """What turns the readings of n stations into grids of g cells, at the t times these stations spoke.

    A cell is ``weights @ readings + offset``, its standard error ``error * scale``. Both parts of a wind go
    through the same weights.

    Rain is not linear in its readings, but what it is made of is: a Gaussian root of what falls if any does,
    ``weights @ readings ** (1 / root) + offset`` with the spread ``error * scale``, and a wetness, ``wetness @
    (readings > 0)``. The chance of rain is the wetness kept within ``doubt`` and 1 - ``doubt``;
    ``network.spatial.rain.Rain`` says how amount, error and interval follow.
    """

    stations: tuple[int, ...]  # (n,)
    times: Times  # (t,) which of the maps
    readings: Singles  # (parts, n, t), two parts of wind, else one [canonical unit]
    weights: Singles  # (g, n)
    offset: Singles | None  # (g,); None where there is none
    error: Singles  # (g,)
    scale: Singles  # (t,) by how much livelier each time is than those learnt from
    root: int = 1
    wetness: Singles | None = None  # (g, n), of rain
    doubt: float = 0.0


def operators(
    village: Village,
    maps: Sequence[VillageMap],
    grid: Grid | Sites,
    standing: Sequence[Stretch] | None = None,
) -> list[Operator]:
    """One for each set of stations and each set of learnt parameters among the maps of one variable.

    As ``map.estimate`` they are for everybody's eyes; a map of fewer than three stations that may be shown is
    in none. Raises TooFew when that is so of all. What they give is to be kept within the variable's limits.
    """
    made, most, grid = [], 0, on_its_ground(village, grid)
    for run in runs(village, maps, standing):
        cells = targets_of(run.sites, grid)
        for mask, times in patterns(np.isfinite(run.values).all(axis=0)):
            most = max(most, int(mask.sum()))
            if mask.sum() >= LEAST:
                made.append(operator_of(maps[0].variable, run, mask, times, cells))
    if not made:
        raise TooFew(VARIABLES[maps[0].variable].words, most)
    return made


def operator_of(variable: str, run: Run, mask: Mask, times: Times, cells: Sites) -> Operator:
    """That of the stations ``mask`` at the times of a run at which just these spoke."""
    stations, noise = run.sites[mask], run.noise[mask]
    readings = run.values[:, mask][:, :, times]
    own = {
        "stations": tuple(station for station, speaks in zip(run.stations, mask, strict=True) if speaks),
        "times": run.times[times],
        "readings": readings.astype(np.float32),
    }
    if VARIABLES[variable].summary == "sum":
        carry, wetness = rain.operators(stations, noise, run.learnt, cells)
        own |= {
            "scale": _single(rain.liveliness(stations, noise, run.learnt, readings[0])),
            "root": run.learnt.root,
            "wetness": _single(wetness.weights),
            "doubt": rain.doubt(len(stations)),
        }
    else:
        carry = run.learnt.operator(stations, noise, cells)
        factors = [run.learnt.liveliness(stations, noise, part) for part in readings]
        own["scale"] = _single(np.sqrt(np.mean(np.square(factors), axis=0)))
    offset = _single(carry.offset) if carry.offset.any() else None
    return Operator(weights=_single(carry.weights), offset=offset, error=_single(carry.error), **own)


def _single(values: Floats) -> Singles:
    return np.asarray(values, dtype=np.float32)
