"""Leaving one out in closed form, against leaving each out in turn."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from network.spatial import inverse_distance, scores
from network.spatial.field import Field
from network.spatial.kriging import operator
from network.spatial.leave_one_out import leave_one_out
from network.spatial.sites import Sites
from tests.datasets import meuse


def refitted(sites, noise, field, values):
    """Each station by a kriging of its own from all the others."""
    expected, error = np.empty(values.shape), np.empty(len(sites))
    for i in range(len(sites)):
        others = np.arange(len(sites)) != i
        carry = operator(sites[others], noise[others], field, sites[~others])
        expected[i], error[i] = carry.estimate(values[others])[0], carry.error[0]
    return expected, error


@settings(max_examples=60, deadline=None)
@given(
    st.integers(2, 25),
    st.integers(0, 2**32 - 1),
    st.sampled_from(["exponential", "matern", "spherical"]),
    st.sampled_from([0.0, 0.006, 1.0]),
)
def test_the_closed_form_equals_refitting(count, seed, kind, gradient_spread):
    rng = np.random.default_rng(seed)
    sites = Sites.at(*rng.uniform(0, 3000, (2, count)), rng.uniform(200, 350, count))
    noise, values = rng.uniform(0.1, 1.0, count), rng.normal(285, 3, (count, 4))
    field = Field(0.8, 1500, -0.0065, gradient_spread, kind=kind)
    expected, error = refitted(sites, noise, field, values)
    closed, closed_error = leave_one_out(sites, noise, field, values)
    assert_allclose(closed, expected, rtol=0, atol=1e-9 * 285)
    assert_allclose(closed_error, error, rtol=0, atol=1e-8)


def test_a_hundred_stations_agree_to_a_billionth():
    rng = np.random.default_rng(1)
    sites, noise = (
        Sites.at(*rng.uniform(0, 20000, (2, 100)), rng.uniform(0, 900, 100)),
        rng.uniform(0.2, 1, 100),
    )
    values, field = rng.normal(0, 3, (100, 3)), Field(0.8, 1500, -0.0065, 0.006)
    for closed, slow in zip(
        leave_one_out(sites, noise, field, values), refitted(sites, noise, field, values), strict=True
    ):
        assert_allclose(closed, slow, rtol=0, atol=1e-9)


@pytest.mark.parametrize("station", [0, 1])
def test_of_two_stations_each_expects_the_other(station):
    expected, _ = leave_one_out(Sites.at([0, 900], 0), 0.3, Field(0.8, 1500), [[280.0], [290.0]])
    assert_allclose(expected[station, 0], [290.0, 280.0][station])


def test_a_station_alone_has_nothing_to_be_expected_from():
    expected, error = leave_one_out(Sites.at(0, 0), 0.3, Field(0.8, 1500), [[280.0]])
    assert np.isnan(expected).all()
    assert np.isnan(error).all()


def test_ln_zinc_by_the_meuse():
    # Spherical, partial sill 0.5906, range 897, nugget 0.0507: rmse 0.3918, mae 0.2922; inverse distance over
    # all: 0.5138, 0.4302 (computed from the files, independently).
    data = meuse()
    sites, values = Sites.at(data["x"], data["y"]), np.log(data["zinc"].to_numpy())[:, None]
    field = Field(np.sqrt(0.5906), 897, kind="spherical")
    expected, _ = leave_one_out(sites, np.sqrt(0.0507), field, values)
    assert_allclose(
        [scores.rmse(expected, values), scores.mae(expected, values)], [0.3918, 0.2922], atol=5e-5
    )
    plain = inverse_distance.leave_one_out(sites, values)
    assert_allclose([scores.rmse(plain, values), scores.mae(plain, values)], [0.5138, 0.4302], atol=5e-5)
