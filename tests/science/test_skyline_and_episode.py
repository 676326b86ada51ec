"""A skyline, a stretch that stands out and fits by row, against cases constructed with a known answer and numpy."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science.episode import episode
from network.science.least_squares import fit_rows
from network.science.skyline import hidden, skyline
from network.science.sun import solar_position


def a_year():
    begin = int(np.datetime64("2026-01-01", "s").astype(np.int64))
    elevation, azimuth = solar_position(begin + 600 * np.arange(365 * 144), 47.0, 8.0)
    return azimuth, elevation


def test_a_barn_is_drawn_as_high_as_it_stands():
    azimuth, elevation = a_year()
    barn = (azimuth >= 225) & (azimuth < 250) & (elevation < 18.0)
    found = skyline(azimuth, elevation, np.where(barn, 0.2, 0.97))
    behind = (found.azimuth > 225) & (found.azimuth < 250)
    assert_allclose(found.elevation[behind], 18.0, rtol=0, atol=0.5)
    elsewhere = np.isfinite(found.elevation) & ~behind
    assert (found.elevation[elsewhere] == 0).all()
    assert (hidden(found, azimuth, elevation) == (barn | (elevation < 0)))[elevation > 0].mean() > 0.99


def test_where_the_sun_never_was_there_is_no_skyline():
    found = skyline(*a_year(), np.ones(365 * 144))
    north = (found.azimuth < 50) | (found.azimuth > 310)
    assert np.isnan(found.elevation[north]).all() and (found.moments[north] == 0).all()
    # At 47 N the sun rises between azimuth 54 and 126 (sunrise equation: cos A = sin dec / cos lat, dec 23.44).
    assert np.isfinite(found.elevation[(found.azimuth > 57) & (found.azimuth < 303)]).all()


def test_moments_that_nobody_knows_are_not_counted():
    azimuth, elevation = a_year()
    found = skyline(azimuth, elevation, np.full(azimuth.size, np.nan))
    assert np.isnan(found.elevation).all() and found.moments.sum() == 0


def test_the_stretch_that_stands_out_is_found_with_its_level():
    values = np.concatenate([np.zeros(10), np.full(8, 5.0), np.zeros(6)])
    values += np.random.default_rng(2).normal(0, 0.5, 24)
    found = episode(values, np.full(24, 0.5))
    assert (found.first, found.last) == (10, 17)
    assert abs(found.level - 5.0) < 3 * found.error
    assert_allclose(found.error, 0.5 / np.sqrt(8))


def test_a_share_of_the_error_that_lasts_does_not_average_out():
    assert_allclose(episode(np.ones(1000), np.ones(1000), lasting=0.5).error, 0.5, rtol=0.01)


def test_no_other_stretch_is_likelier():
    # Oracle: every stretch tried one by one.
    random = np.random.default_rng(8)
    values, errors = random.normal(0, 1, 15), random.uniform(0.5, 2, 15)
    values[4] = np.nan

    def gain(i, j):
        part = slice(i, j + 1)
        weight = np.where(np.isfinite(values[part]), errors[part] ** -2.0, 0.0)
        return (weight @ np.nan_to_num(values[part])) ** 2 / weight.sum() if weight.any() else 0.0

    best = max(gain(i, j) for i in range(15) for j in range(i, 15))
    found = episode(values, errors)
    assert_allclose(gain(found.first, found.last), best)


def test_nothing_stands_out_of_nothing():
    assert episode([np.nan, 1.0], [1.0, np.nan]) is None
    assert episode([1.0], [1.0], least=2) is None
    assert episode([], []) is None


def test_each_row_is_fitted_as_numpy_fits_it_alone():
    random = np.random.default_rng(4)
    causes = np.stack([np.ones((6, 80)), random.normal(0, 1, (6, 80)), random.normal(0, 3, (6, 80))])
    values = 2.0 + 3.0 * causes[1] - causes[2] + random.normal(0, 0.4, (6, 80))
    values[:, ::7] = np.nan
    found, errors = fit_rows(values, causes, 1.0)
    for row in range(6):
        there = np.isfinite(values[row])
        x = causes[:, row, there].T
        alone, left, *_ = np.linalg.lstsq(x, values[row, there])
        assert_allclose(found[:, row], alone, rtol=1e-9)
        expected = np.sqrt(np.diag(np.linalg.inv(x.T @ x)) * left[0] / (there.sum() - 3))
        assert_allclose(errors[:, row], expected, rtol=1e-9)


@pytest.mark.parametrize("values", [np.full((2, 50), np.nan), np.ones((2, 50))])
def test_a_row_that_cannot_tell_its_causes_apart_has_no_fit(values):
    found, _ = fit_rows(values, np.ones((2, 2, 50)), 1.0)
    assert np.isnan(found).all()
