"""The relief of the invented village."""

import tomllib

import numpy as np
from numpy.testing import assert_allclose

from network.demo import terrain
from network.demo.boards import VILLAGE


def the_map():
    east, north = np.meshgrid(np.linspace(-1250.0, 1250.0, 101), np.linspace(-1000.0, 1000.0, 81))
    return east, north, terrain.elevation(*terrain.degrees(east, north))


def test_hill_stands_150_metres_above_the_valley_floor():
    _, _, ground = the_map()
    assert_allclose(np.ptp(ground), 150.0, atol=5.0)


def test_brook_runs_along_the_lowest_ground():
    east, north, ground = the_map()
    lowest = north[ground.argmin(axis=0), 0]
    assert_allclose(lowest, terrain.brook(east[0]), atol=60.0)


def test_brook_flows_downhill_to_the_west():
    east = np.linspace(-1250.0, 1250.0, 50)
    assert (np.diff(terrain.elevation(*terrain.degrees(east, terrain.brook(east)))) > 0).all()


def test_a_degree_of_latitude_is_as_long_as_geodesy_says():
    # A degree of the meridian at 47° is 111.17 km on the WGS 84 ellipsoid (from memory of its series).
    _, north = terrain.metres([terrain.LATITUDE + 1.0], [terrain.LONGITUDE])
    assert_allclose(north, 111_170.0, rtol=0.001)


def test_metres_and_degrees_undo_each_other():
    latitude, longitude = terrain.degrees([-900.0, 0.0, 1200.0], [300.0, 0.0, -800.0])
    east, north = terrain.metres(latitude, longitude)
    assert_allclose(east, [-900.0, 0.0, 1200.0], atol=1e-6)
    assert_allclose(north, [300.0, 0.0, -800.0], atol=1e-6)


def test_village_file_has_the_elevations_of_the_relief():
    described = tomllib.loads(VILLAGE.read_text(encoding="utf-8"))
    for household in described["households"]:
        for station in household["stations"]:
            ground = terrain.elevation(station["latitude"], station["longitude"])
            assert_allclose(station["elevation"], ground, atol=1.0, err_msg=station["name"])
