"""The height of the ground anywhere: from a grid of terrain, or smoothly from the stations alone."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.ndimage import map_coordinates

from network.spatial.field import Field
from network.spatial.kriging import operator
from network.spatial.sites import Grid, Sites

SURVEY_ERROR = 2.0  # [m], of a height read off a map: common practice

Floats = NDArray[np.float64]


def from_stations(sites: Sites, east: ArrayLike, north: ArrayLike) -> Floats:
    """Elevation [m] at places on the plane [m], as a smooth surface through the stations.

    It knows no hill on which nobody measures, and far away falls back to the stations' mean.
    """
    places = Sites.at(east, north)
    surface = _surface(sites)
    flat = Sites.at(sites.east, sites.north)
    height = operator(flat, SURVEY_ERROR, surface, places).estimate(sites.elevation)
    return height.reshape(np.broadcast(east, north).shape)


def from_terrain(terrain: ArrayLike, grid: Grid, east: ArrayLike, north: ArrayLike) -> Floats:
    """Elevation [m] at places on the plane [m], between the cells of a terrain of shape (rows, columns).

    Beyond the terrain's edge the nearest cell answers. Row 0 is the southernmost, as in ``Grid``.
    """
    ground = np.asarray(terrain, dtype=np.float64)
    if ground.shape != grid.shape:
        raise ValueError(f"The terrain has shape {ground.shape}, its grid {grid.shape}: they must be one.")
    x, y = np.broadcast_arrays(np.asarray(east, dtype=np.float64), np.asarray(north, dtype=np.float64))
    column = (x - grid.west) / (grid.east - grid.west) * grid.columns - 0.5
    row = (y - grid.south) / (grid.north - grid.south) * grid.rows - 0.5
    found = map_coordinates(ground, [row.ravel(), column.ravel()], order=1, mode="nearest")
    return np.asarray(found.reshape(x.shape))


def _surface(sites: Sites) -> Field:
    """A smooth field as rough as the stations' own heights and as wide as their village."""
    width = float(np.max(np.ptp(sites.plane, axis=0)))
    return Field(
        spread=max(float(np.std(sites.elevation)), SURVEY_ERROR), reach=max(width, 1.0), kind="matern"
    )
