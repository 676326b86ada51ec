"""Series of one piece and of two, against a published table and against chance with a known answer."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import stats

from network.science.homogeneity import (
    autocorrelation,
    critical_value,
    cumulative_sums,
    effective_share,
    standard_normal_homogeneity,
)


@pytest.mark.parametrize(
    ("series", "statistic", "before"),
    [
        # Constructed and worked out by hand, with the n - 1 standard deviation.
        ([0, 0, 0, 0, 0, 1, 1, 1, 1, 1], 9.0, 5),
        ([0.2, -0.1, 0.1, 0.0, -0.2, 0.9, 1.1, 1.0, 0.8, 1.2], 25 / 3, 5),
        ([0.3, -0.2, 0.1, 0.4, -0.3, 0.0, 0.2, -0.1, 0.5, -0.4], 27 / 11, 9),
    ],
)
def test_the_statistic_agrees_with_cases_worked_by_hand(series, statistic, before):
    found, place = standard_normal_homogeneity(series)
    assert_allclose(found, statistic, rtol=0, atol=1e-6)
    assert place == before


def test_the_statistic_agrees_with_the_t_test_of_the_two_parts():
    # T = (n - 1) t² / (t² + n - 2), t of Student's test for equal variances: algebra, with SciPy's t.
    series = np.random.default_rng(3).normal(size=40)
    series[25:] += 1.0
    found, place = standard_normal_homogeneity(series)
    t = stats.ttest_ind(series[:place], series[place:]).statistic
    assert_allclose(found, 39 * t**2 / (t**2 + 38), rtol=1e-10)


@pytest.mark.parametrize("level", [0.90, 0.95, 0.99])
@pytest.mark.parametrize("n", [20, 50, 100])
def test_series_without_a_break_stay_below_the_published_points(n: int, level: float):
    # Khaliq and Ouarda (2007), International Journal of Climatology 27, table of critical values (read second-hand).
    random = np.random.default_rng(n)
    beyond = np.mean(
        [
            standard_normal_homogeneity(random.normal(size=n))[0] > critical_value(n, level)
            for _ in range(3000)
        ]
    )
    assert_allclose(beyond, 1 - level, rtol=0, atol=4 * np.sqrt(level * (1 - level) / 3000))


def test_between_the_counts_of_the_table_the_points_lie_between():
    # Khaliq and Ouarda (2007): 95 % of 30 and 40 values are 7.747 and 8.151.
    assert 7.747 < critical_value(35, 0.95) < 8.151
    assert critical_value(30, 0.95) == 7.747


def test_of_a_handful_of_values_nothing_is_said():
    assert critical_value(9) == np.inf


def test_a_level_without_a_table_names_those_that_have_one():
    with pytest.raises(ValueError, match=r"use 0\.90, 0\.95 or 0\.99"):
        critical_value(30, 0.999)


def test_a_series_that_never_changes_has_no_break():
    assert standard_normal_homogeneity([0.1] * 12) == (0.0, 0)


def test_gaps_are_refused_with_the_way_out():
    with pytest.raises(ValueError, match="leave gaps out"):
        standard_normal_homogeneity([1.0, np.nan, 2.0])


@pytest.mark.parametrize(("shift", "run"), [(0.0, 465.0), (1.0, 10.4), (2.0, 4.01)])
def test_cumulative_sums_run_as_long_as_the_books_say(shift: float, run: float):
    # Average run length with slack 0.5 and interval 5: Montgomery, Introduction to Statistical Quality Control
    # (from memory).
    random = np.random.default_rng(11)
    lengths = []
    for _ in range(400):
        above, below = cumulative_sums(random.normal(shift, 1.0, 5000))
        lengths.append(int(np.argmax(np.maximum(above, below) > 5.0)) + 1)
    assert_allclose(np.mean(lengths), run, rtol=0, atol=4 * np.std(lengths) / 20)


def test_cumulative_sums_agree_with_pages_rule_step_by_step():
    # S = max(0, S + z - k), Page (1954) in the tabular form.
    z = np.random.default_rng(5).normal(size=200)
    above, below, up, down = *cumulative_sums(z, 0.5), 0.0, 0.0
    for i, each in enumerate(z):
        up, down = max(0.0, up + each - 0.5), max(0.0, down - each - 0.5)
        assert_allclose([above[i], below[i]], [up, down], rtol=0, atol=1e-9)


def test_the_memory_of_a_series_widens_the_error_of_its_mean_as_it_should():
    # A first-order autoregressive series built with r = 0.5: (1 - r) / (1 + r) = 1/3 of the values count.
    random = np.random.default_rng(9)
    series = np.zeros((2500, 400))
    noise = random.normal(size=series.shape)
    for i in range(1, 400):
        series[:, i] = 0.5 * series[:, i - 1] + noise[:, i]
    series = series[:, 50:]
    assert_allclose(np.mean([autocorrelation(each - each.mean()) for each in series]), 0.5, atol=0.02)
    counted = series.var() / series.mean(axis=1).var() / 350
    assert_allclose(
        counted, effective_share(0.5), rtol=0.12
    )  # four standard errors of a variance from 2500 means
    assert_allclose(effective_share(0.5), 1 / 3)
