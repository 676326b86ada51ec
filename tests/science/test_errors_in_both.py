"""The line with errors in both coordinates, against the data that every author of such lines is tried on."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import minimize

from network.science.errors_in_both import line

# Pearson (1901), Philosophical Magazine 2, 559-572, with the weights of York (1966), Canadian Journal of Physics
# 44, 1079-1086: table I of York et al. (2004). Read second-hand, in three public test suites that agree.
X = np.array([0.0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4])
Y = np.array([5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5])
X_ERROR = np.array([1000, 1000, 500, 800, 200, 80, 60, 20, 1.8, 1.0]) ** -0.5
Y_ERROR = np.array([1, 1.8, 4, 8, 20, 20, 70, 70, 100, 500]) ** -0.5


def test_pearsons_data_with_yorks_weights_give_the_published_line():
    found = line(X, Y, X_ERROR, Y_ERROR)
    # Williamson (1968) to all his digits, as quoted by every later author (read second-hand).
    assert_allclose([found.intercept, found.slope], [5.47991022403, -0.48053340745], rtol=0, atol=1e-9)
    # York et al. (2004), table II: standard errors, and the misfit over n - 2 (read second-hand).
    assert_allclose([found.intercept_error, found.slope_error], [0.29497, 0.05799], rtol=0, atol=6e-6)
    assert found.misfit == pytest.approx(1.48329, abs=5e-6)


def test_errors_grown_to_the_scatter_are_those_of_cantrell():
    # Cantrell (2008), table 2, the line of Williamson and York: 0.359 and 0.0706 (read second-hand).
    found = line(X, Y, X_ERROR, Y_ERROR).widened()
    assert_allclose([found.intercept_error, found.slope_error], [0.359, 0.0706], rtol=0, atol=5e-4)


def test_a_general_minimiser_finds_the_same_line():
    random = np.random.default_rng(4)
    truth = random.uniform(270.0, 295.0, 200)
    x_error, y_error = random.uniform(0.1, 0.8, 200), random.uniform(0.1, 0.8, 200)
    x, y = truth + random.normal(0, x_error), 5.0 + 0.98 * truth + random.normal(0, y_error)

    def cost(guess: np.ndarray) -> float:
        # The square sum that the most likely line makes least: York et al. (2004), eq. 2, summed over the true points.
        slope, middle = guess
        return ((y - middle - slope * (x - 280.0)) ** 2 / (y_error**2 + (slope * x_error) ** 2)).sum()

    least = minimize(cost, [1.0, 280.0], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-10}).x
    found = line(x, y, x_error, y_error)
    assert_allclose([found.slope, found.intercept + 280.0 * found.slope], least, rtol=1e-7)


def test_with_equal_errors_it_is_the_axis_of_the_cloud():
    # Pearson (1901): without weights the best line is the long axis of the ellipse, of slope -0.546 and intercept
    # 5.7857 by his rounded figures (read second-hand).
    found = line(X, Y, 1.0, 1.0)
    assert found.slope == pytest.approx(-0.546, abs=5e-4)
    assert found.intercept == pytest.approx(5.7857, abs=3e-3)


def test_the_interval_holds_the_true_slope_nine_times_in_ten():
    random = np.random.default_rng(1)
    hits = 0
    for _ in range(400):
        truth = random.normal(0.0, 3.0, 60)
        found = line(truth + random.normal(0, 0.5, 60), 1.2 * truth + random.normal(0, 0.9, 60), 0.5, 0.9)
        hits += abs(found.slope - 1.2) < 1.645 * found.slope_error
    assert 0.86 < hits / 400 < 0.94


def test_the_errors_of_the_line_are_least_in_the_middle_of_the_points():
    found = line(X, Y, X_ERROR, Y_ERROR)
    value, error = found.at(np.linspace(0, 8, 81))
    assert_allclose(value[0], found.intercept)
    assert 0 < error.argmin() < 80 and error[0] == pytest.approx(found.intercept_error)


def test_missing_points_are_left_out_and_too_few_give_no_line():
    full = line(X, Y, X_ERROR, Y_ERROR)
    more = line([*X, 3.0, np.nan], [*Y, np.nan, 1.0], [*X_ERROR, 1.0, 1.0], [*Y_ERROR, 1.0, 1.0])
    assert more == full
    assert np.isnan(line([1.0, 2.0], [1.0, 2.0], 1.0, 1.0).slope)
    assert np.isnan(line([1.0] * 5, [2.0] * 5, 1.0, 1.0).slope)


def test_errors_of_nothing_are_refused():
    with pytest.raises(ValueError, match="above 0"):
        line(X, Y, 0.0, 1.0)
