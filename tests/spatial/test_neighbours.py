"""What the neighbours expect, when one of them is false."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from network.science.variables import VARIABLES
from network.spatial.distance import local_plane
from network.spatial.field import Field
from network.spatial.kriging import operator
from network.spatial.neighbours import expected_from_neighbours
from network.spatial.sites import Sites
from tests.datasets import new_york, new_york_airports
from tests.spatial import made_village

FIELD = Field.of(VARIABLES["air_temperature"].field)
AIRPORTS = ("EWR", "JFK", "LGA")


def airport_temperatures():
    """Hours of 2013 at three airports of New York [K], and where they are; open data, CC0."""
    place = new_york_airports().loc[list(AIRPORTS)]
    east, north = local_plane(place["lat"], place["lon"], (40.70, -73.94))
    table = new_york().pivot(index="utc", columns="origin", values="temp")[list(AIRPORTS)]
    kelvin = (table - 32) * 5 / 9 + 273.15
    return Sites.at(east, north, place["alt"] * 0.3048), kelvin


def test_a_false_airport_is_blamed_alone():
    # JFK 2013-05-09 02:00 reads 13.10 F between hours of 57, while the other two read 59.0 F.
    sites, kelvin = airport_temperatures()
    hour = kelvin.loc[["2013-05-09 02:00:00+00:00"]].to_numpy().T
    found = expected_from_neighbours(sites, 0.4, FIELD, hour, np.ones_like(hour, dtype=bool))
    assert_array_equal(found.left_out[:, 0], [False, True, False])
    assert_array_equal(found.used[:, 0], [1, 2, 1])
    assert_allclose(found.expected[:, 0], 288.15, atol=0.1)


def test_no_more_than_a_third_is_ever_left_out():
    sites, kelvin = airport_temperatures()
    values = kelvin.to_numpy().T
    found = expected_from_neighbours(sites, 0.4, FIELD, values, np.ones_like(values, dtype=bool))
    assert found.left_out.sum(axis=0).max() == 1
    assert np.isfinite(found.expected[:, np.isfinite(values).all(axis=0)]).all()


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 9), st.sampled_from([-1, 1]), st.floats(8, 60), st.integers(0, 1000))
def test_one_false_station_is_found_and_spoils_nobody(station, sign, fault, seed):
    sites = made_village.places(10, seed)
    truth = made_village.smooth_truth(sites)[:, None]
    sound = np.ones_like(truth, dtype=bool)
    false = truth.copy()
    false[station] += sign * fault
    found = expected_from_neighbours(sites, 0.4, FIELD, false, sound)
    assert_array_equal(np.flatnonzero(found.left_out), [station])
    sound[station] = False
    without = expected_from_neighbours(sites, 0.4, FIELD, truth, sound)
    assert_allclose(found.expected, without.expected)
    assert_allclose(found.error, without.error)


def test_two_false_stations_among_nine_are_both_found():
    sites = made_village.places(9, seed=2)
    values = made_village.smooth_truth(sites)[:, None]
    values[[1, 6]] += [[12.0], [-9.0]]
    found = expected_from_neighbours(sites, 0.4, FIELD, values, np.ones_like(values, dtype=bool))
    assert_array_equal(np.flatnonzero(found.left_out), [1, 6])


def test_untrusted_and_silent_stations_are_expected_too_and_say_nothing():
    sites = made_village.places(6, seed=3)
    values = np.tile(made_village.smooth_truth(sites)[:, None], 3)
    trusted = np.ones(values.shape, dtype=bool)
    values[0, 1], trusted[0, 1] = 340.0, False
    values[0, 2] = np.nan
    found = expected_from_neighbours(sites, 0.4, FIELD, values, trusted)
    others = operator(sites[1:], 0.4, FIELD, sites[:1])
    assert_allclose(found.expected[0], others.estimate(values[1:, 0])[0])
    assert_allclose(found.error[0], others.error[0])
    assert_array_equal(found.used[0], [5, 5, 5])


def test_a_station_needs_two_trusted_others():
    sites = made_village.places(3, seed=4)
    values = np.tile(made_village.smooth_truth(sites)[:, None], 2)
    trusted = np.array([[True, True], [True, True], [True, False]])
    found = expected_from_neighbours(sites, 0.4, FIELD, values, trusted)
    assert np.isfinite(found.expected[:, 0]).all()
    assert_array_equal(np.isfinite(found.expected[:, 1]), [False, False, True])


@pytest.mark.parametrize("times", [0, 4])
def test_nobody_trusted_means_nothing_expected(times):
    sites = made_village.places(3, seed=4)
    found = expected_from_neighbours(
        sites, 0.4, FIELD, np.full((3, times), 280.0), np.zeros((3, times), bool)
    )
    assert np.isnan(found.expected).all()
    assert not found.left_out.any()
