"""Two stations pair by pair: tests of chance against printed tables, intervals against a truth known beforehand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import binomtest, quantile_test

from network.science.paired import by_group, ratio_of_totals, signs, turn, unlike


@pytest.mark.parametrize(
    ("count", "fewer", "one_tail"),
    # Siegel (1956), Nonparametric Statistics for the Behavioral Sciences, table D: one-tailed chances (from memory;
    # they are sums of binomial terms, so anyone can work them out).
    [(6, 0, 0.016), (10, 1, 0.011), (12, 2, 0.019), (15, 3, 0.018), (20, 5, 0.021), (25, 7, 0.022)],
)
def test_the_sign_test_has_the_chances_of_the_printed_table(count, fewer, one_tail):
    found = signs([-1.0] * (count - fewer) + [1.0] * fewer)
    assert (found.below, found.above, found.size) == (count - fewer, fewer, count)
    assert found.chance / 2 == pytest.approx(one_tail, abs=6e-4)


def test_six_of_six_is_told_and_five_of_five_is_not():
    # 2 / 2**6 = 0.031 and 2 / 2**5 = 0.063.
    assert signs([0.4] * 6).told and not signs([0.4] * 5).told


def test_differences_of_nothing_favour_neither_side():
    found = signs([0.0, 0.0, 1.0, np.nan])
    assert (found.below, found.above, found.size, found.chance) == (0, 1, 3, 1.0)


def test_a_statistics_library_agrees_about_signs_and_medians():
    random = np.random.default_rng(8)
    for size in (6, 9, 17, 30):
        differences = random.normal(0.4, 1.0, size)
        found, interval = signs(differences), quantile_test(differences).confidence_interval(0.9)
        assert_allclose([found.low, found.high], interval)
        assert found.chance == pytest.approx(binomtest(found.below, size).pvalue)


def test_the_interval_of_the_median_holds_it_at_least_nine_times_in_ten():
    # Intervals between two ordered values are cautious: they hold nine of ten or more, whatever the distribution.
    random = np.random.default_rng(2)
    found = [signs(random.exponential(1.0, 21)) for _ in range(300)]
    hits = np.mean([one.low <= np.log(2) <= one.high for one in found])
    assert 0.88 < hits < 0.99


def test_samples_that_do_not_overlap_are_as_unlikely_as_their_orders_are_many():
    # 2 of the 10! / (5! 5!) = 252 ways to draw five of ten keep them apart: Mann and Whitney (1947), by hand.
    assert unlike([1, 2, 3, 4, 5], [6, 7, 8, 9, 10]) == pytest.approx(2 / 252)
    assert unlike([], [1.0]) == 1.0


def test_quartiles_of_groups_are_those_of_each_alone():
    random = np.random.default_rng(3)
    values, group = random.normal(0, 1, 500), random.integers(-1, 8, 500)
    values[::7] = np.nan
    found = by_group(values, group, 9)
    for one in range(8):
        own = values[(group == one) & np.isfinite(values)]
        assert found.size[one] == own.size
        figures = [found.lower[one], found.median[one], found.upper[one]]
        assert_allclose(figures, np.quantile(own, [0.25, 0.5, 0.75]))
    assert found.size[8] == 0 and np.isnan(found.median[8])


def test_a_ratio_of_totals_weighs_the_wet_days():
    # By hand: 8 + 1 + 2 of 10 + 2 + 2 mm.
    assert ratio_of_totals([8, 1, 2], [10, 2, 2]).ratio == pytest.approx(11 / 14)
    exact = ratio_of_totals([4, 1, 2, np.nan], [8, 2, 4, 9])
    assert_allclose(exact, (0.5, 0.5, 0.5, 3))
    assert np.isnan(ratio_of_totals([0.0] * 4, [0.0] * 4).ratio)


def test_the_interval_of_a_ratio_holds_it_about_nine_times_in_ten():
    random = np.random.default_rng(5)
    hits = 0
    for _ in range(500):
        rain = random.gamma(2.0, 3.0, 14)
        found = ratio_of_totals(0.8 * rain * random.normal(1.0, 0.12, 14), rain)
        hits += found.low < 0.8 < found.high
    assert 0.83 < hits / 500 < 0.95


def test_directions_differ_the_short_way_round():
    assert_allclose(turn([350.0, -350.0, 180.0, 10.0]), [-10.0, 10.0, -180.0, 10.0])
