"""The run in which evidence sums highest."""

import numpy as np

from network.quality.cumulative_sum import strongest_run


def test_the_run_is_the_one_that_trying_every_run_finds():
    # The maximum over all pairs of ends, tried one by one.
    evidence = np.random.default_rng(3).normal(-0.2, 1.0, (3, 40))
    tried = {
        (row, first, last): evidence[row, first : last + 1].sum()
        for row in range(3)
        for first in range(40)
        for last in range(first, 40)
    }
    row, first, last, said = strongest_run(evidence)
    assert (row, first, last) == max(tried, key=lambda run: tried[run])
    np.testing.assert_allclose(said, max(tried.values()))


def test_what_is_missing_says_nothing():
    assert strongest_run(np.array([[1.0, np.nan, 2.0, -5.0]])) == (0, 0, 2, 3.0)
    assert strongest_run(np.empty((2, 0))) == (0, 0, 0, 0.0)
