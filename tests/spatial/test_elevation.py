"""The height of the ground."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.spatial.elevation import from_stations, from_terrain
from network.spatial.sites import Grid, Sites
from tests.spatial import made_village


def test_between_the_cells_of_a_terrain_a_plane_stays_a_plane():
    grid = Grid(0, 0, 100, 60, rows=6, columns=10)
    ground = 2 * grid.eastings + 3 * grid.northings[:, None]
    assert_allclose(from_terrain(ground, grid, [17.0, 80.0], [22.5, 50.0]), [101.5, 310.0])


def test_beyond_the_terrain_the_nearest_cell_answers():
    grid = Grid(0, 0, 20, 20, rows=2, columns=2)
    assert_allclose(from_terrain([[1, 2], [3, 4]], grid, [-50.0, 99.0], [-50.0, 99.0]), [1, 4])


def test_a_terrain_of_the_wrong_shape_is_refused():
    with pytest.raises(ValueError, match="they must be one"):
        from_terrain(np.zeros((3, 2)), Grid(0, 0, 1, 1, 2, 3), 0.5, 0.5)


def test_ten_stations_tell_the_lie_of_the_land():
    stations, hidden = made_village.places(10, seed=1), made_village.places(300, seed=2)
    found = from_stations(stations, hidden.east, hidden.north)
    assert np.sqrt(np.mean((found - hidden.elevation) ** 2)) < 0.5 * np.std(hidden.elevation)


def test_stations_on_a_level_keep_it():
    assert_allclose(
        from_stations(Sites.at([0, 500, 900], [0, 700, 100], 240.0), [[100.0, 9000.0]], 50.0), 240
    )
