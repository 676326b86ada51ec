"""The readings that may stand in a map, as arrays; of the wind, its two parts."""

import numpy as np

from network.models.storage import Floats
from network.pipeline.maps.wind import is_too_low, vectors_at_ten_metres
from network.pipeline.neighbours.frames import Frames, Use
from network.science.variables import VARIABLES
from network.spatial.learnt import Learnt
from network.spatial.sites import Grid, Sites
from network.spatial.village import Map, WindMap, map_field, map_wind

PLACES = 4
"""Decimals of a canonical value kept with a map."""

WIND = "wind_speed"
"""The one variable whose maps are of vectors."""


def readings(seen: Frames, variable: str) -> Floats:
    """Trusted values (parts, n, t), NaN where there is none; of wind its eastward and its northward part."""
    if variable == WIND:
        return np.stack(vectors_at_ten_metres(seen)).round(PLACES)
    return seen.values(variable, Use.DRAWN).round(PLACES)[None]


def left_out(seen: Frames, variable: str, values: Floats) -> list[list[list[object]]]:
    """For each frame, [station, why] of those that report and are not among the readings (parts, n, t)."""
    told = seen.left_out(variable)
    if variable == WIND:  # a speed alone is no vector
        without = np.isfinite(seen.values(WIND, Use.DRAWN)) & ~np.isfinite(values).all(axis=0)
        for i, t in np.argwhere(without):
            why = "stands too low" if is_too_low(seen.places[i]) else "no good wind direction"
            told[t].append([seen.places[i].station, why])
    return told


def mapped(
    variable: str, sites: Sites, noise: Floats, values: Floats, places: Grid | Sites, learnt: Learnt
) -> Map | WindMap:
    """Maps of readings (parts, n, t) at the places. Raises TooFew."""
    if variable == WIND:
        return map_wind(sites, noise, values[0], values[1], places, learnt)
    return map_field(VARIABLES[variable], sites, noise, values[0], places, learnt)
