"""Widening an interval until it holds what it says."""

import numpy as np
from numpy.testing import assert_allclose

from network.spatial.calibration import ENOUGH, WIDEST, widening

DEPARTURE = np.random.default_rng(1).normal(size=4000)


def test_a_factor_of_two_is_found():
    assert_allclose(widening(2 * DEPARTURE, 1.0), 2, rtol=0.05)


def test_the_instruments_own_noise_is_not_widened():
    # Departures of variance 1 + 4 = (2 * 1)^2 + 1^2: the field's part is twice what it says.
    assert_allclose(widening(np.sqrt(5) * DEPARTURE, 1.0, 1.0), 2, rtol=0.05)


def test_honest_errors_are_left_alone_and_absurd_ones_are_bounded():
    assert_allclose(widening(DEPARTURE, 1.0), 1, rtol=0.05)
    assert widening(99 * DEPARTURE, 1.0) == WIDEST


def test_instruments_better_than_stated_do_not_narrow_the_field():
    # Constructed: the instruments of standard deviation 1 were stated as 2; of the field all was said rightly.
    assert widening(np.sqrt(2) * DEPARTURE, 1.0, 2.0) == 1


def test_too_few_departures_say_nothing():
    assert widening(9 * DEPARTURE[: ENOUGH - 1], 1.0) == 1
    assert widening(np.full(400, np.nan), 1.0) == 1
