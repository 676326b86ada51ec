"""Scores against values worked by hand and closed forms from the literature."""

import numpy as np
from numpy.testing import assert_allclose
from scipy.integrate import quad
from scipy.special import ndtr

from network.spatial import scores

# Inverse distance leaving one out of the triangle; mean errors worked by hand and with NumPy.
PREDICTED, OBSERVED = np.array([334 / 25, 458 / 41, 188 / 17]), np.array([10.0, 14.0, 13.0])


def test_errors_are_predicted_minus_observed():
    assert_allclose(scores.bias(PREDICTED, OBSERVED), -0.470148, atol=1e-6)
    assert_allclose(scores.mae(PREDICTED, OBSERVED), 2.710148, atol=1e-6)
    assert_allclose(scores.rmse(PREDICTED, OBSERVED), 2.772636, atol=1e-6)


def test_coverage_counts_those_inside():
    # The 90 % interval of a Gaussian is 1.6449 standard errors either way.
    observed = [0.0, 1.64, 1.65, -1.64, -1.65, np.nan]
    assert_allclose(scores.coverage(np.zeros(6), 1.0, observed), 3 / 5)
    assert_allclose(scores.coverage(np.zeros(6), 1.0, observed, share=0.5), 1 / 5)


def test_crps_of_a_standard_gaussian_at_its_middle():
    # (sqrt(2) - 1) / sqrt(pi), from the closed form of Gneiting and Raftery (2007), from memory.
    assert_allclose(scores.crps_gaussian(0.0, 1.0, 0.0), (np.sqrt(2) - 1) / np.sqrt(np.pi))


def test_crps_is_the_integral_that_defines_it():
    # Matheson and Winkler (1976): the squared distance of the two distribution functions, integrated.
    below, _ = quad(lambda x: ndtr((x - 2) / 1.5) ** 2, -20, 3.1)
    above, _ = quad(lambda x: (1 - ndtr((x - 2) / 1.5)) ** 2, 3.1, 25)
    assert_allclose(scores.crps_gaussian(2.0, 1.5, 3.1), below + above, rtol=1e-7)


def test_each_time_is_scored_alone_and_the_missing_are_passed_over():
    found = scores.score([[1.0, np.nan], [3.0, np.nan]], [[0.0, 1.0], [0.0, 2.0]], [[1.0, 1.0], [1.0, 1.0]])
    assert_allclose([found.bias, found.mae, found.coverage], [[2, np.nan], [2, np.nan], [0.5, np.nan]])
