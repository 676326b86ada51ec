"""Draws from densities whose moments are known."""

import numpy as np
from numpy.testing import assert_allclose

from network.spatial.drawing import draws


def test_draws_have_the_mean_and_the_spread_of_a_gaussian():
    # A standard error of a mean over 24 walkers is a fifth of the spread; five of them are allowed.
    def cost(x):
        return 0.5 * float(((x[0] - 3) / 2) ** 2 + (x[1] / 0.1) ** 2)

    found = draws(cost, np.array([[3.0, 0.0]]))
    assert_allclose((found.mean(axis=0) - [3, 0]) / [2, 0.1], 0, atol=1)
    assert_allclose(found.std(axis=0), [2, 0.1], rtol=0.6)


def test_a_mode_that_explains_nothing_keeps_nobody():
    def cost(x):
        return float(min((x[0] + 5) ** 2, 30 + (x[0] - 5) ** 2))

    assert (draws(cost, np.array([[-5.0], [5.0]])) < 0).all()
