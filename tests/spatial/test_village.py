"""A village's maps against a truth that is known everywhere."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from network.science.variables import VARIABLES
from network.spatial import inverse_distance, scores
from network.spatial.sites import Grid
from network.spatial.village import TooFew, map_field, map_wind
from tests.spatial import made_village

TEMPERATURE, RAIN = VARIABLES["air_temperature"], VARIABLES["rain_amount"]
STATIONS, HIDDEN = made_village.places(10, seed=11), made_village.places(500, seed=12)
GRID = Grid(0, 0, made_village.SIDE, made_village.SIDE, 20, 30)


def readings(times=1, seed=0):
    noise = np.random.default_rng(seed).normal(0, 0.2, (10, times))
    return made_village.smooth_truth(STATIONS)[:, None] + noise


def test_a_smooth_field_is_recovered_better_than_by_inverse_distance():
    truth, ours, plain = made_village.smooth_truth(HIDDEN)[:, None], [], []
    for layout in range(12):
        stations = made_village.places(10, seed=100 + layout)
        noise = np.random.default_rng(layout).normal(0, 0.2, (10, 20))
        values = made_village.smooth_truth(stations)[:, None] + noise
        ours.append(scores.rmse(map_field(TEMPERATURE, stations, 0.2, values, HIDDEN).estimate, truth))
        plain.append(scores.rmse(inverse_distance.estimate(stations, values, HIDDEN), truth))
    assert np.mean(ours) < 2 / 3 * truth.std()
    assert np.mean(ours) < 0.9 * np.mean(plain)


@pytest.mark.parametrize("station", range(10))
def test_a_smooth_field_is_recovered_with_any_station_left_out(station):
    values = readings()
    values[station] = np.nan
    found = map_field(TEMPERATURE, STATIONS, 0.2, values, HIDDEN)
    assert found.used == 9
    assert scores.rmse(found.estimate, made_village.smooth_truth(HIDDEN)[:, None]) < 0.4


def test_both_methods_are_scored_on_the_same_values():
    found = map_field(TEMPERATURE, STATIONS, 0.2, readings(40), GRID)
    assert found.scores.rmse.mean() < found.plain_scores.rmse.mean()
    assert found.plain_scores.coverage is None  # inverse distance claims no interval


@pytest.mark.parametrize("share", [0.5, 0.9])
def test_the_interval_covers_what_it_says(share):
    # 400 fields drawn from the model of the catalogue by another program, seen by thermometers of 0.4 K.
    prior, every = TEMPERATURE.field, made_village.places(60, seed=21)
    truth = made_village.drawn_truths(every, prior.spread, prior.reach, prior.gradient_spread, 400, seed=22)
    seen = truth[:10] + np.random.default_rng(23).normal(0, 0.4, (10, 400))
    found = map_field(TEMPERATURE, every[:10], 0.4, seen, every[10:])
    low, high = found.interval(share)
    assert_allclose(np.mean((low <= truth[10:]) & (truth[10:] <= high)), share, atol=0.03)
    assert_allclose(found.scores.coverage.mean(), 0.9, atol=0.03)


def test_a_badly_sited_thermometer_of_known_noise_hardly_harms():
    values, noise = readings(40), np.full(10, 0.2)
    truth = made_village.smooth_truth(HIDDEN)[:, None]
    values[4] += 3.0
    noise[4] = 3.0
    spoiled = scores.rmse(map_field(TEMPERATURE, STATIONS, noise, values, HIDDEN).estimate, truth)
    values[4] = np.nan
    without = scores.rmse(map_field(TEMPERATURE, STATIONS, noise, values, HIDDEN).estimate, truth)
    assert spoiled < 1.1 * without


@pytest.mark.parametrize(
    ("trusted", "sentence"),
    [
        (0, "No trusted stations report air temperature; a map needs three."),
        (1, "One trusted station reports air temperature; a map needs three."),
        (2, "Two trusted stations report air temperature; a map needs three."),
    ],
)
def test_fewer_than_three_stations_make_no_map_but_a_sentence(trusted, sentence):
    values = readings()
    values[trusted:] = np.nan
    with pytest.raises(TooFew) as refusal:
        map_field(TEMPERATURE, STATIONS, 0.2, values, GRID)
    assert str(refusal.value) == sentence


def test_a_time_with_too_few_stations_stays_empty_among_others():
    values = readings(3)
    values[2:, 1] = np.nan
    values[5, 2] = np.nan
    found = map_field(TEMPERATURE, STATIONS, 0.2, values, GRID)
    assert_array_equal(found.used, [10, 2, 9])
    for array in (found.estimate, found.error):
        assert_array_equal(np.isnan(array).all(axis=0), [False, True, False])
    assert_array_equal(np.isnan(found.scores.rmse), [False, True, False])
    assert_array_equal(np.isnan(found.plain_scores.rmse), [False, True, False])


def test_the_map_is_least_sure_far_from_the_stations():
    found = map_field(TEMPERATURE, STATIONS, 0.2, readings(), Grid(-9000, -9000, 12000, 12000, 42, 42))
    error = found.error[:, 0].reshape(42, 42)
    assert error[0, 0] > 2 * error[21, 21]


def test_rain_maps_are_never_negative_and_tell_the_chance():
    values = np.zeros((10, 2))
    values[:5, 0] = 3.0
    found = map_field(RAIN, STATIONS, 0.2, values, GRID)
    low, _ = found.interval()
    assert low.min() == found.estimate.min() == 0
    assert found.chance is not None
    assert found.chance.shape == found.estimate.shape == (600, 2)
    assert not found.estimate[:, 1].any()


def test_wind_speed_is_never_below_zero():
    values = np.array([0, 0, 0, 0, 0, 0, 0, 0, 0, 9.0])[:, None]
    assert map_field(VARIABLES["wind_speed"], STATIONS, 0.6, values, GRID).estimate.min() >= 0


def test_a_wind_map_needs_both_parts_of_three_stations():
    u, v = np.full((10, 2), 2.0), np.full((10, 2), -1.0)
    u[2:, 1] = np.nan
    found = map_wind(STATIONS, 0.6, u, v, GRID)
    assert_array_equal(found.used, [10, 2])
    assert_allclose(found.eastward[:, 0], 2.0)
    assert_allclose(found.northward[:, 0], -1.0)
    assert np.isnan(found.eastward[:, 1]).all()
    assert_allclose(found.scores.rmse, [0, np.nan], atol=1e-9)
    with pytest.raises(TooFew, match="Two trusted stations report wind; a map needs three"):
        map_wind(STATIONS, 0.6, u[:, 1:], v[:, 1:], GRID)


def test_a_variable_without_a_field_has_no_map():
    with pytest.raises(ValueError, match="describes no field of battery"):
        map_field(VARIABLES["battery_voltage"], STATIONS, 0.2, readings(), GRID)


def test_values_that_do_not_fit_the_stations_are_refused():
    with pytest.raises(ValueError, match="do not fit 10 stations"):
        map_field(TEMPERATURE, STATIONS, 0.2, readings()[:4], GRID)
