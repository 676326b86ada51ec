"""What a series that remembers itself is worth, against the formula for a first-order autoregressive one."""

import numpy as np
import pytest
from scipy.signal import lfilter

from network.science.sampling import independent_values, standard_error_of_mean


def remembering(memory: float, size: int, seed: int) -> np.ndarray:
    """A first-order autoregressive series of unit variance."""
    steps = np.random.default_rng(seed).standard_normal(size) * np.sqrt(1 - memory**2)
    return lfilter([1.0], [1.0, -memory], steps)


@pytest.mark.parametrize("memory", [0.0, 0.5, 0.9, 0.97])
def test_a_series_that_remembers_is_worth_what_the_textbook_says(memory):
    # Wilks (2011), eq. 5.12: n' = n (1 - r) / (1 + r); from memory.
    found = [independent_values(remembering(memory, 5000, seed)) for seed in range(20)]
    assert np.median(found) == pytest.approx(5000 * (1 - memory) / (1 + memory), rel=0.15)


def test_the_standard_error_is_the_spread_of_means_over_many_series():
    # Constructed: the means of 300 independent series scatter as each of them says of itself.
    series = [remembering(0.9, 2000, seed) for seed in range(300)]
    assert np.median([standard_error_of_mean(one) for one in series]) == pytest.approx(
        np.std([one.mean() for one in series]), rel=0.15
    )


def test_gaps_cost_what_they_hide_and_no_more():
    # Constructed: every other day of 400 is missing; the memory, an hour or so, is the same.
    series = remembering(0.9, 144 * 400, 1)
    gappy = np.where(np.arange(series.size) // 144 % 2, np.nan, series)
    assert independent_values(gappy) == pytest.approx(series.size / 2 * 0.1 / 1.9, rel=0.2)


def test_what_is_too_short_or_does_not_vary_is_told_so():
    assert independent_values([]) == 0 and independent_values([np.nan, 1.0]) == 1
    assert np.isnan(standard_error_of_mean([1.0, np.nan]))
    assert standard_error_of_mean(np.ones(50)) == 0
