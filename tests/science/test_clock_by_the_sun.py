"""Noon from dawn and dusk, and the lag of one series behind another, against the sun, scipy and constructed cases."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.signal import correlate, correlation_lags

from network.science import sun
from network.science.daylight import day_edges, noon_shift
from network.science.lag import best_lag, misfit_by_lag

MINUTE = 60


def by_minute(behind: float) -> np.ndarray:
    """The sun's elevation at Greenwich by a clock so far behind [s], each minute of 20 March 2026."""
    midnight = int(np.datetime64("2026-03-20", "s").astype(np.int64))
    return sun.solar_position(midnight + MINUTE * np.arange(1440) + behind, 47.0, 0.0)[0][None]


def test_a_day_begins_and_ends_when_the_almanac_says():
    # NOAA's series for 47 N 8 E, 20 March 2026: 05:33.3 and 17:39.1; at 0 E it is 32 minutes later.
    # Sunrise by the almanac is the sun's centre at -0.833 degrees (NOAA).
    rises, falls = day_edges(by_minute(0.0), -0.833)
    assert_allclose([rises[0], falls[0]], [5 * 60 + 33.3 + 32, 17 * 60 + 39.1 + 32], rtol=0, atol=2.5)


@pytest.mark.parametrize("behind", [3600.0, 600.0, -600.0, -3600.0])
def test_the_middle_of_the_day_tells_how_far_a_clock_is_behind(behind):
    found = noon_shift(*day_edges(by_minute(behind), 0.0), *day_edges(by_minute(0.0), 0.0))
    assert_allclose(found.behind * MINUTE, behind, rtol=0, atol=10)
    assert found.error * MINUTE < 60


def test_a_hill_in_the_west_is_no_wrong_clock():
    elevation = by_minute(0.0).copy()
    evening = np.arange(1440) > 720
    elevation[0, evening & (elevation[0] < 15)] = -1.0
    found = noon_shift(*day_edges(elevation, 0.0), *day_edges(by_minute(0.0), 0.0))
    assert abs(found.behind[0]) <= found.error[0] * 1.01


def test_a_lamp_at_night_and_a_dark_day_are_passed_over():
    light = np.zeros((3, 144))
    light[:2, 40:100] = 100.0
    light[0, 10] = 50.0
    rises, falls = day_edges(light, 1.0)
    assert_allclose(rises[:2], rises[1])
    assert np.isnan(rises[2]) and np.isnan(falls[2])


def waves(k: int, seed: int = 3) -> np.ndarray:
    random = np.random.default_rng(seed)
    return np.convolve(random.standard_normal(k + 60), np.hanning(31), "valid")[:k]


def test_the_lag_is_where_scipy_finds_the_highest_correlation():
    long = waves(400)
    values = long[27 : 27 + 300] + 1.7
    shift = best_lag(misfit_by_lag(values[None], long[None, 20 : 20 + 340]), 300).behind[0]
    other = long[40 : 40 + 300]
    by_scipy = correlation_lags(300, 300)[np.argmax(correlate(values - values.mean(), other - other.mean()))]
    assert round(shift) == -by_scipy == 27 - 40


@pytest.mark.parametrize("behind", [-2.5, -0.3, 0.0, 0.4, 3.7])
def test_a_lag_between_steps_is_found_to_a_tenth(behind):
    # A sum of slow cosines, known between its steps too.
    t = np.arange(300, dtype=float)
    phases = np.random.default_rng(5).uniform(0, 6.28, 12)
    periods = np.linspace(25, 90, 12)

    def field(at):
        return np.cos(6.2832 * at[:, None] / periods + phases).sum(axis=1)

    reference = field(np.arange(-10.0, 310.0))
    found = best_lag(misfit_by_lag(field(t + behind)[None], reference[None]), 100)
    assert_allclose(found.behind[0], behind, rtol=0, atol=0.1)


def test_the_error_of_a_lag_is_that_of_many_repetitions():
    # Constructed: white noise, so every value tells something of its own.
    random = np.random.default_rng(11)
    reference = np.tile(waves(324), (400, 1))
    values = reference[:, 12:312] + 0.8 * random.standard_normal((400, 300))
    found = best_lag(misfit_by_lag(values, reference), 300)
    assert_allclose(np.std(found.behind), np.median(found.error), rtol=0.2)
    assert abs(np.mean(found.behind)) < 0.1


def test_sunshine_on_a_thermometer_is_not_taken_for_a_lag():
    t = np.arange(-18.0, 162.0)
    day = np.maximum(np.sin(2 * np.pi * (t - 36) / 144), 0.0)
    air = np.cumsum(day - 0.3) / 40 + 0.3 * waves(180)
    values = air[18:162] + 5.0 * day[18:162]
    misled = best_lag(misfit_by_lag(values[None], air[None]), 20).behind[0]
    found = best_lag(misfit_by_lag(values[None], air[None], day[None, 18:162]), 20).behind[0]
    assert abs(found) < 0.1 < abs(misled) or np.isnan(misled)


def test_too_few_values_give_no_lag():
    values, reference = np.full((1, 100), np.nan), waves(120)[None]
    values[0, :60] = reference[0, 10:70]
    assert np.isnan(best_lag(misfit_by_lag(values, reference), 10).behind[0])
