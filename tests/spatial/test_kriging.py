"""Kriging against exact fractions, published datasets, PyKrige and the textbook's own system."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pykrige.ok import OrdinaryKriging
from pykrige.uk import UniversalKriging
from scipy.spatial.distance import cdist
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, Matern

from network.spatial.field import Field
from network.spatial.kriging import block, factorise, operator
from network.spatial.sites import Sites
from tests.datasets import meuse
from tests.spatial.published import TRIANGLE, VALUES

SOMEWHERE = Sites.at(*np.random.default_rng(4).uniform(0, 3000, (2, 40)), np.linspace(200, 350, 40))
STATIONS = Sites.at(*np.random.default_rng(5).uniform(0, 3000, (2, 12)), np.linspace(200, 330, 12))
READINGS = np.random.default_rng(6).normal(285, 2, 12)
MEUSE_TARGETS = Sites.at(
    [181170, 180310, 180205, 178673, 178770, 178270], [333250, 332189, 331707, 330066, 330675, 331075]
)


@pytest.mark.parametrize(
    ("target", "weights", "estimate", "variance"),
    # Ordinary kriging of a 3-4-5 triangle, semivariogram g(h) = h, solved in exact fractions (computed).
    [
        ((2, 1.5), np.array([5, 9, 8]) / 22, 140 / 11, 25 / 11),
        ((4, 3), np.array([-1, 7, 5]) / 11, 153 / 11, 48 / 11),
        ((4, 0), np.array([0, 1, 0]), 14, 0),
    ],
)
def test_a_linear_field_gives_the_exact_fractions(target, weights, estimate, variance):
    carry = operator(TRIANGLE, 0.0, Field(1.0, 1.0, kind="linear"), Sites.at(*target))
    assert_allclose(carry.weights[0], weights, atol=1e-6)
    assert_allclose(carry.estimate(VALUES), estimate, atol=1e-6)
    assert_allclose(carry.error**2, variance, atol=1e-6)


def test_zinc_by_the_meuse_to_every_printed_digit():
    # Ordinary kriging, spherical, partial sill 134000, range 800, nugget 24200, all 155 places (computed by a
    # textbook solve and PyKrige). There the nugget is part of what is predicted, so it is in the variance.
    data, field = meuse(), Field(np.sqrt(134000), 800, kind="spherical")
    sites = Sites.at(data["x"], data["y"])
    carry = operator(sites, np.sqrt(24200), field, MEUSE_TARGETS)
    printed = [269.6700, 668.8722, 256.2449, 534.3340, 653.5948, 587.1505]
    assert_allclose(carry.estimate(data["zinc"]), printed, rtol=0, atol=5e-5)
    variances = [48488.72, 45798.89, 50531.55, 101806.26, 52318.40, 165399.99]
    assert_allclose(carry.error**2 + 24200, variances, rtol=0, atol=5e-3)


def test_the_mean_of_a_block_by_the_meuse():
    # A 40 m square as 4 x 4 points, 40 nearest data: 268.7324, variance 19568.76, read in gstat's test output.
    data, field = meuse(), Field(np.sqrt(134000), 800, kind="spherical")
    near = np.argsort(np.hypot(data["x"] - 181170, data["y"] - 333250).to_numpy())[:40]
    east, north = np.meshgrid(181170 + np.array([-15, -5, 5, 15]), 333250 + np.array([-15, -5, 5, 15]))
    factor = factorise(Sites.at(data["x"], data["y"])[near], np.sqrt(24200), field)
    weights, offset, error = block(factor, Sites.at(east, north))
    assert_allclose(weights @ data["zinc"].to_numpy()[near] + offset, 268.7324, rtol=0, atol=5e-5)
    assert_allclose(error**2, 19568.76, rtol=0, atol=5e-3)


def test_simple_kriging_agrees_with_the_gaussian_process_of_scikit_learn():
    # A mean known to be zero makes both the same: Matérn 3/2, each station with its own noise.
    noise = np.linspace(0.2, 0.9, 12)
    carry = operator(STATIONS, noise, Field(0.8, 1500, kind="matern", mean_spread=1e-7), SOMEWHERE)
    kernel = ConstantKernel(0.64) * Matern(1500, nu=1.5)
    other = GaussianProcessRegressor(kernel, alpha=noise**2, optimizer=None)
    estimate, error = other.fit(STATIONS.plane, READINGS - 285).predict(SOMEWHERE.plane, return_std=True)
    assert_allclose(carry.estimate(READINGS - 285), estimate, atol=1e-6)
    assert_allclose(carry.error, error, atol=1e-6)


def test_a_stretched_field_is_a_plain_one_over_a_turned_and_stretched_village():
    # PyKrige: distances across the bearing count four times those along it, on its own scale of the range.
    field = Field(0.8, 1500, stretch=4.0, bearing=30.0)
    carry = operator(STATIONS, 0.0, field, SOMEWHERE)
    other = OrdinaryKriging(
        STATIONS.east,
        STATIONS.north,
        READINGS,
        variogram_model="exponential",
        variogram_parameters={"psill": 0.64, "range": 3 * 1500 * 2, "nugget": 0.0},
        anisotropy_scaling=4.0,
        anisotropy_angle=60.0,  # from east towards north
    )
    estimate, variance = other.execute("points", SOMEWHERE.east, SOMEWHERE.north)
    assert_allclose(carry.estimate(READINGS), estimate, atol=1e-6)
    assert_allclose(carry.error**2, variance, atol=1e-6)


@pytest.mark.parametrize(
    ("kind", "stretch"),
    [("exponential", 3), ("spherical", 1)],  # PyKrige's exponential range is three of our reaches
)
def test_ordinary_kriging_agrees_with_pykrige(kind, stretch):
    carry = operator(STATIONS, 0.0, Field(0.8, 1500, kind=kind), SOMEWHERE)
    other = OrdinaryKriging(
        STATIONS.east,
        STATIONS.north,
        READINGS,
        variogram_model=kind,
        variogram_parameters={"psill": 0.64, "range": 1500 * stretch, "nugget": 0.0},
    )
    estimate, variance = other.execute("points", SOMEWHERE.east, SOMEWHERE.north)
    assert_allclose(carry.estimate(READINGS), estimate, atol=1e-6)
    assert_allclose(carry.error**2, variance, atol=1e-6)


def test_a_gradient_nobody_knows_becomes_universal_kriging():
    carry = operator(STATIONS, 0.0, Field(0.8, 1500, -0.0065, gradient_spread=100.0), SOMEWHERE)
    other = UniversalKriging(
        STATIONS.east,
        STATIONS.north,
        READINGS,
        variogram_model="exponential",
        variogram_parameters={"psill": 0.64, "range": 4500, "nugget": 0.0},
        drift_terms=["specified"],
        specified_drift=[STATIONS.elevation],
    )
    estimate, variance = other.execute(
        "points", SOMEWHERE.east, SOMEWHERE.north, specified_drift_arrays=[SOMEWHERE.elevation]
    )
    assert_allclose(carry.estimate(READINGS), estimate, atol=1e-4)
    assert_allclose(carry.error**2, variance, atol=1e-4)


def test_the_shrunk_gradient_is_what_conditioning_the_joint_gaussian_gives():
    # Rasmussen and Williams (2006), eqs 2.41 and 2.42, with the trend's coefficients carried as unknowns.
    noise, trend_variance = np.linspace(0.2, 0.9, 12), np.diag([1e6, 0.006**2])
    carry = operator(STATIONS, noise, Field(0.8, 1500, -0.0065, 0.006), SOMEWHERE)
    h, g = STATIONS.elevation - 270, SOMEWHERE.elevation - 270
    at_stations, at_targets = np.column_stack([np.ones(12), h]), np.column_stack([np.ones(40), g])
    covariance = 0.64 * np.exp(-cdist(STATIONS.plane, STATIONS.plane) / 1500) + np.diag(noise**2)
    covariance += at_stations @ trend_variance @ at_stations.T
    toward = 0.64 * np.exp(-cdist(SOMEWHERE.plane, STATIONS.plane) / 1500)
    toward += at_targets @ trend_variance @ at_stations.T
    centre = READINGS.mean()
    textbook = centre - 0.0065 * g + toward @ np.linalg.solve(covariance, READINGS - centre + 0.0065 * h)
    own = 0.64 + np.einsum("gi,ij,gj->g", at_targets, trend_variance, at_targets)
    left = own - np.einsum("gn,ng->g", toward, np.linalg.solve(covariance, toward.T))
    assert_allclose(carry.estimate(READINGS), textbook, atol=1e-5)
    assert_allclose(carry.error**2, left, atol=1e-5)


def test_a_mean_known_to_be_near_zero_becomes_simple_kriging():
    # Cressie (1993), section 3.2: weights are the covariance's inverse times the covariances (from memory).
    carry = operator(STATIONS, 0.3, Field(0.8, 1500, mean_spread=1e-6), SOMEWHERE)
    covariance = 0.64 * np.exp(-cdist(STATIONS.plane, STATIONS.plane) / 1500) + 0.09 * np.eye(12)
    toward = 0.64 * np.exp(-cdist(STATIONS.plane, SOMEWHERE.plane) / 1500)
    assert_allclose(carry.weights.T, np.linalg.solve(covariance, toward), atol=1e-8)


def test_one_thermometer_is_carried_uphill_by_the_standard_lapse_rate():
    # 12.0 degC at 620 m is 12.78 at 500 m, and 9.4 at 380 m is 8.62 at 500 m, at 6.5 K/km (computed).
    field = Field(0.8, 1500, gradient=-0.0065)
    for height, reading, expected in [(620, 12.0, 12.78), (380, 9.4, 8.62)]:
        carry = operator(Sites.at(0, 0, height), 0.0, field, Sites.at(0, 0, 500))
        assert_allclose(carry.estimate([reading]), expected, atol=1e-9)


def test_many_times_are_the_same_as_one_after_another():
    carry = operator(STATIONS, 0.4, Field(0.8, 1500, -0.0065, 0.006), SOMEWHERE)
    days = np.random.default_rng(7).normal(285, 2, (12, 9))
    assert_allclose(carry.estimate(days), np.column_stack([carry.estimate(day) for day in days.T]))


def test_blocks_of_targets_leave_no_seam():
    many = Sites.at(np.linspace(0, 3000, 9001), 700.0, 250.0)
    field = Field(0.8, 1500, -0.0065, 0.006)
    whole = operator(STATIONS, 0.4, field, many)
    alone = operator(STATIONS, 0.4, field, many[4000:4200])
    assert_allclose(whole.weights[4000:4200], alone.weights, atol=1e-12)
    assert_allclose(whole.error[4000:4200], alone.error, atol=1e-12)


def test_a_noisy_station_pulls_less():
    noise = np.full(12, 0.3)
    noise[3] = 3.0
    field = Field(0.8, 1500)
    fair, unfair = operator(STATIONS, 0.3, field, SOMEWHERE), operator(STATIONS, noise, field, SOMEWHERE)
    assert (np.abs(unfair.weights[:, 3]) < np.abs(fair.weights[:, 3])).all()


def test_the_error_grows_away_from_the_stations():
    carry = operator(STATIONS, 0.3, Field(0.8, 1500), Sites.at([1500, 6000, 60000], 1500.0))
    assert (np.diff(carry.error) > 0).all()


def test_a_station_without_a_place_is_refused():
    with pytest.raises(ValueError, match="needs a position and an elevation"):
        operator(Sites.at([0, np.nan], [0, 9]), 0.3, Field(1.0, 100), SOMEWHERE)


def test_two_stations_that_must_both_be_right_are_refused():
    with pytest.raises(ValueError, match="give each its noise"):
        operator(Sites.at([0, 0, 9], [0, 0, 9]), 0.0, Field(1.0, 100), SOMEWHERE)
