"""Fields fitted to values drawn from fields that are known."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science.variables import VARIABLES
from network.spatial.field import Field
from network.spatial.fitting import fit
from network.spatial.kriging import heard
from network.spatial.prior import Prior
from network.spatial.sites import Sites
from tests.spatial import made_village

TEMPERATURE = Prior.of(VARIABLES["air_temperature"].field)


def drawn(field, sites, times, noise, seed):
    """Values of a field without a trend, by the textbook's Cholesky factor, seen with noise."""
    random = np.random.default_rng(seed)
    root = np.linalg.cholesky(field.covariance(field.apart(sites, sites)) + 1e-9 * np.eye(len(sites)))
    exact = root @ random.normal(size=(len(sites), times))
    return exact + random.normal(size=exact.shape) * np.broadcast_to(noise, len(sites))[:, None]


def somewhere(count, width, seed):
    return Sites.at(*np.random.default_rng(seed).uniform(0, width, (2, count)))


def test_a_known_field_is_found_from_thirty_stations():
    sites, truth = somewhere(30, 5000, seed=1), Field(1.6, 900)
    found = fit(sites, 0.3, drawn(truth, sites, 96, 0.3, seed=2), TEMPERATURE)
    assert_allclose([found.field.spread, found.field.reach], [1.6, 900], rtol=0.15)
    assert_allclose(heard(0.3, found.nugget), 0.3, rtol=0.35)


def test_eight_stations_of_one_hour_leave_what_was_believed():
    sites = somewhere(8, 2000, seed=3)
    found = fit(sites, 0.4, drawn(TEMPERATURE.field, sites, 1, 0.4, seed=4), TEMPERATURE).field
    assert 0.4 < found.spread / TEMPERATURE.field.spread < 2.5
    assert 0.4 < found.reach / TEMPERATURE.field.reach < 2.5


def test_no_direction_is_found_where_there_is_none():
    sites = somewhere(60, 8000, seed=5)
    values = drawn(Field(1.0, 1500), sites, 24, 0.2, seed=6)
    assert fit(sites, 0.2, values, TEMPERATURE).field.stretch == 1.0


@pytest.mark.parametrize("bearing", [10.0, 60.0, 140.0])
def test_a_direction_is_found_where_there_is_one(bearing):
    sites = somewhere(60, 8000, seed=7)
    values = drawn(Field(1.0, 1500, stretch=4.0, bearing=bearing), sites, 24, 0.2, seed=8)
    found = fit(sites, 0.2, values, TEMPERATURE).field
    assert_allclose(found.bearing, bearing, atol=10)
    assert 2.5 < found.stretch < 6.5


def test_height_is_asked_only_where_it_pays():
    random = np.random.default_rng(9)
    sites = Sites.at(*random.uniform(0, 3000, (2, 25)), random.uniform(300, 500, 25))
    flat = drawn(Field(1.0, 800), sites, 24, 0.2, seed=10)
    rain = Prior(Field(1.0, 800), 0.7)  # of which nobody says that it changes with height
    assert fit(sites, 0.2, flat, rain).field.gradient_spread == 0
    uphill = fit(sites, 0.2, flat + 0.02 * sites.elevation[:, None], rain).field
    assert_allclose(uphill.gradient, 0.02, atol=0.004)


def test_the_same_values_give_the_same_fit():
    sites = made_village.places(8, seed=11)
    values = made_village.smooth_truth(sites)[:, None] + np.random.default_rng(12).normal(0, 0.2, (8, 3))
    first, second = (fit(sites, 0.2, values, TEMPERATURE) for _ in range(2))
    assert (first.field, first.nugget, first.others()) == (second.field, second.nugget, second.others())


def test_two_stations_leave_the_prior():
    assert fit(somewhere(2, 900, seed=1), 0.4, np.ones((2, 5)), TEMPERATURE).field == TEMPERATURE.field
