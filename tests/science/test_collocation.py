"""Triple collocation: errors known beforehand, and three airports against another program."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.signal import lfilter

from network.science.collocation import collocate, collocate_one
from tests.datasets import new_york

ERRORS = np.array([0.2, 0.4, 0.8])
GAINS = np.array([1.0, 0.7, 1.5])
SIGNAL = 2.0


def three(seed: int, size: int = 20000, memory: float = 0.0) -> np.ndarray:
    """Constructed: one signal seen with known offsets, gains and independent errors (standard deviations)."""
    random = np.random.default_rng(seed)

    def noise() -> np.ndarray:
        return lfilter([1.0], [1.0, -memory], random.standard_normal(size) * np.sqrt(1 - memory**2))

    signal = SIGNAL * noise()
    return np.array(
        [5.0 * i + GAINS[i] * signal + ERRORS[i] * noise() for i in range(3)],
    )


def test_known_errors_are_found_whatever_the_offsets_and_gains():
    found = collocate(three(1))
    assert_allclose([one.error for one in found], ERRORS, rtol=0.06)


def test_the_correlation_with_the_truth_is_that_of_its_definition():
    # McColl et al. (2014), eq. 9: the share of the variance that is the signal's, here known.
    known = np.sqrt((GAINS * SIGNAL) ** 2 / ((GAINS * SIGNAL) ** 2 + ERRORS**2))
    assert_allclose([one.correlation for one in collocate(three(2))], known, atol=0.003)


@pytest.mark.parametrize("memory", [0.0, 0.9])
def test_nine_of_ten_intervals_hold_the_truth_also_when_the_series_remember(memory):
    found = [collocate(three(seed, 3000, memory)) for seed in range(100)]
    held = [[one.low <= true <= one.high for one, true in zip(each, ERRORS, strict=True)] for each in found]
    assert np.mean(held) == pytest.approx(0.9, abs=0.06)


def test_three_airports_come_out_as_another_program_has_them():
    # Temperatures [°F] of 2013, 8694 common hours; computed with pytesmo 0.18.1 (metrics.tcol_metrics).
    table = new_york().pivot(index="utc", columns="origin", values="temp")[["EWR", "JFK", "LGA"]]
    found = collocate(table.to_numpy().T)
    gains, scaled = np.array([1.0, 1.08172786, 1.02396588]), np.array([1.95055635, 2.70025373, 1.65244224])
    ratios = 10 ** (np.array([19.42225141, 16.59732993, 20.86289564]) / 10)
    assert [one.times for one in found] == [8694] * 3
    assert_allclose([one.error for one in found], scaled / gains, rtol=1e-3)
    assert_allclose([one.correlation**2 for one in found], ratios / (1 + ratios), rtol=1e-4)


def test_more_than_three_series_agree_on_each_error():
    random = np.random.default_rng(3)
    errors = np.array([0.3, 0.3, 0.5, 0.5, 1.0])
    series = random.standard_normal(20000) * 3 + errors[:, None] * random.standard_normal((5, 20000))
    assert_allclose([one.error for one in collocate(series)], errors, rtol=0.06)
    assert collocate_one(series) == collocate(series)[0]


def test_only_common_times_count():
    series = three(4)
    whole = collocate(series[:, :10000])
    series[1, 10000:] = np.nan
    assert [one.times for one in collocate(series)] == [10000] * 3
    assert_allclose([one.error for one in collocate(series)], [one.error for one in whole])


def test_an_error_too_small_to_tell_is_not_called_nought():
    # Constructed: the first has no error of its own, so that chance decides the sign of what is found.
    random = np.random.default_rng(0)
    signal = random.standard_normal(300)
    found = [collocate_one([signal, *(signal + random.standard_normal((2, 300)))]) for _ in range(20)]
    negative = [one for one in found if one.reason]
    assert negative and all(np.isnan(one.error) and one.low == 0 for one in negative)
    assert all("too small" in one.reason for one in negative)


def test_too_few_common_times_and_strangers_are_told_in_a_sentence():
    assert collocate(three(5, 60))[0].reason == "Only 60 times are common to three series; 100 are needed."
    opposite = three(6)
    opposite[2] *= -1
    assert "do not vary together" in collocate(opposite)[0].reason
    with pytest.raises(ValueError, match="three series or more"):
        collocate(three(7)[:2])
