"""Sites and the cells of a map."""

import pytest
from numpy.testing import assert_allclose

from network.spatial.sites import Grid, Sites


def test_cells_run_from_the_south_west_corner_east_first():
    cells = Grid(0, 0, 30, 20, rows=2, columns=3).sites()
    assert_allclose(cells.east, [5, 15, 25, 5, 15, 25])
    assert_allclose(cells.north, [5, 5, 5, 15, 15, 15])


def test_a_grid_around_the_sites_leaves_its_margin():
    grid = Grid.around(Sites.at([0, 1000], [0, 500]), margin=100, cell=50)
    assert (grid.west, grid.south, grid.east, grid.north) == (-100, -100, 1100, 600)
    assert grid.shape == (14, 24)


def test_every_cell_takes_the_terrain_given_for_it():
    assert_allclose(Grid(0, 0, 2, 2, 2, 2).sites([[1, 2], [3, 4]]).elevation, [1, 2, 3, 4])


def test_a_grid_turned_inside_out_is_refused():
    with pytest.raises(ValueError, match="west edge west of its east edge"):
        Grid(1, 0, 0, 1, 2, 2)
    with pytest.raises(ValueError, match="at least one row"):
        Grid(0, 0, 1, 1, 0, 2)


def test_ragged_sites_are_refused():
    with pytest.raises(ValueError, match="as many eastings as northings"):
        Sites([0, 1], [0], [0, 1])
