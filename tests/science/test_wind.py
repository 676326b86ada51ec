"""Wind against the Beaufort tables, hand-made vectors and published formulas."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from network.science import wind
from tests.published import winds


@pytest.mark.parametrize(
    ("speed", "direction", "expected"),
    [(10, 360, (0, -10)), (10, 90, (-10, 0)), (10, 180, (0, 10)), (10, 270, (10, 0)), (0, np.nan, (0, 0))],
)
def test_a_wind_blows_away_from_where_it_comes(speed, direction, expected):
    assert_allclose(wind.components(speed, direction), expected, atol=1e-12)


def test_a_missing_speed_or_direction_gives_no_components():
    assert np.isnan(wind.components([np.nan, 3.0], [90.0, np.nan])).all()


def test_north_is_360_and_a_calm_has_no_direction():
    speed, direction = wind.speed_and_direction([0.0, 0.01, 1e-16], [-5.0, 0.01, -1e-16])
    assert_allclose(speed, [5.0, 0.0141421, 0.0], atol=1e-6)
    assert_allclose(direction, [360.0, np.nan, np.nan])


@given(st.floats(0.06, 100), st.floats(0.001, 360))
def test_components_and_back_is_the_same_wind(speed, direction):
    found = wind.speed_and_direction(*wind.components(speed, direction))
    assert_allclose(found, (speed, direction), rtol=1e-9)


@pytest.mark.parametrize(("speeds", "directions", "speed", "direction"), winds.MEAN_VECTORS)
def test_mean_vectors_agree_with_the_table(speeds, directions, speed, direction):
    found = wind.vector_mean(speeds, directions)
    assert_allclose(found[0], speed, rtol=0, atol=0.001)
    assert_allclose(found[1], np.nan if direction is None else direction, rtol=0, atol=0.001)


def test_a_mean_vector_leaves_missing_winds_out():
    assert_allclose(wind.vector_mean([3, np.nan, 4], [270, 10, 360])[1], 323.130, atol=0.001)
    assert np.isnan(wind.vector_mean([np.nan], [np.nan])).all()


@pytest.mark.parametrize(("directions", "spread"), winds.SPREADS)
def test_spread_of_direction_agrees_with_the_table(directions, spread):
    assert_allclose(wind.direction_spread(directions), spread, rtol=0, atol=0.001)


@pytest.mark.parametrize(("speed", "height", "roughness", "to", "expected"), winds.HEIGHTS)
def test_speed_at_another_height_agrees_with_the_table(speed, height, roughness, to, expected):
    assert_allclose(wind.at_height(speed, height, to, roughness), expected, rtol=0, atol=0.001)


def test_no_law_of_height_holds_among_houses():
    # Common practice: below about 20 roughness lengths a correction is a guess. A village has 0.5 m or more.
    assert np.isnan(wind.at_height(3.0, 4.0, 10.0, 0.5))
    assert np.isnan(wind.at_height(3.0, 4.0, 10.0, 0.0))


@pytest.mark.parametrize(("force", "name", "lowest", "highest"), winds.BEAUFORT)
def test_beaufort_forces_agree_with_the_tables(force, name, lowest, highest):
    assert_array_equal(wind.beaufort([lowest, highest]), [force, force])
    assert wind.beaufort_words(force) == name


def test_a_missing_wind_has_no_force_and_no_name():
    assert np.isnan(wind.beaufort(np.nan))
    assert_array_equal(wind.beaufort_words([np.nan, 3]), ["", "gentle breeze"])


def test_ten_minute_figures_look_back_ten_minutes_and_no_further():
    # Constructed: reports at irregular times; the window of 900 s holds 301 .. 900.
    seconds, speed = [0, 300, 420, 900, 2000], [9.0, 8.0, 2.0, 4.0, 5.0]
    assert_allclose(wind.ten_minute_mean(seconds, speed), [9.0, 8.5, 19 / 3, 3.0, 5.0])
    assert_allclose(wind.ten_minute_gust(seconds, speed), [9.0, 9.0, 9.0, 4.0, 5.0])


def test_ten_minute_figures_leave_missing_values_out():
    seconds, speed = [0, 300, 2000, 2300], [np.nan, 2.0, np.nan, np.nan]
    assert_allclose(wind.ten_minute_mean(seconds, speed), [np.nan, 2.0, np.nan, np.nan])
    assert_allclose(wind.ten_minute_gust(seconds, speed), [np.nan, 2.0, np.nan, np.nan])


def test_ten_minute_gust_of_running_means_agrees_with_the_worked_case():
    # Constructed: 1 Hz samples; the largest 3-sample running mean is 10.333, the mean of all 6.7.
    samples = np.array([4, 5, 6, 9, 12, 10, 7, 5, 4, 5], dtype=np.float64)
    running = np.convolve(samples, np.ones(3) / 3, mode="valid")
    assert_allclose(wind.ten_minute_gust(np.arange(8), running)[-1], 10.333, atol=0.001)
    assert_allclose(wind.ten_minute_mean(np.arange(10), samples)[-1], 6.7)


def test_ten_minute_direction_is_that_of_the_mean_vector():
    speeds, directions, _, expected = winds.MEAN_VECTORS[0]
    assert_allclose(wind.ten_minute_direction([0, 300], speeds, directions)[-1], expected, atol=0.001)
    assert np.isnan(wind.ten_minute_direction([0, 300], [5, 5], [90, 270])[-1])


def test_ten_minute_figures_of_nothing_are_nothing():
    assert wind.ten_minute_mean([], []).shape == wind.ten_minute_gust([], []).shape == (0,)
