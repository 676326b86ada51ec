"""The coarse rule for what an instrument must reach, held to cities whose coldest nights are known."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science.constants import ZERO_CELSIUS
from network.science.extremes import COLDEST_ERROR, coldest_night, expected
from network.science.variables import VARIABLES

CITIES = [
    # From memory of climate normals: mean of the year's lowest temperatures [°C], to some degrees.
    ("Singapore", 1.3, 15.0, 22.0),
    ("Quito", -0.2, 2850.0, 4.0),
    ("Miami", 25.8, 2.0, 3.0),
    ("Cairo", 30.0, 23.0, 5.0),
    ("London", 51.5, 20.0, -6.0),
    ("Zurich", 47.4, 556.0, -12.0),
    ("Helsinki", 60.2, 20.0, -22.0),
]


@pytest.mark.parametrize(("city", "latitude", "elevation", "celsius"), CITIES)
def test_the_coldest_night_is_right_to_within_its_own_error(city, latitude, elevation, celsius):
    assert abs(float(coldest_night(latitude, elevation)) - ZERO_CELSIUS - celsius) < COLDEST_ERROR


def test_south_is_as_cold_as_north_and_what_is_missing_stays_missing():
    assert_allclose(coldest_night([45.0], [100.0]), coldest_night([-45.0], [100.0]))
    assert np.isnan(coldest_night(np.nan, 0.0))


def test_a_barometer_has_to_reach_what_its_height_asks():
    # ISO 2533: 845.6 hPa at 1500 m.
    low, high = expected(VARIABLES["station_pressure"], 47.0, 1500.0)
    assert low < 84556.0 < high
    assert low < 80000.0


def test_air_saturates_everywhere():
    assert expected(VARIABLES["relative_humidity"], 10.0, 0.0).high == 1.0
