"""What the others say of a station with a past, against regression and against the truth."""

import numpy as np
from numpy.testing import assert_allclose

from network.spatial import record
from network.spatial.field import Field
from network.spatial.sites import Sites

SITES = Sites.at([0, 700, 300, 900], [0, 100, 800, 900])
FIELD = Field(0.5, 800)


def village(times, seed=1):
    """Four stations that follow one weather, each in its own way by part of the day (n, t), and the parts."""
    random = np.random.default_rng(seed)
    part = np.arange(times) % 4
    weather = random.normal(285, 5, times)
    habit = np.array([[0.0, 1.0, 0.0, -1.0], [0.5] * 4, [-0.4] * 4, [0.0, 0.0, 2.0, 0.0]])
    return weather + habit[:, part] + random.normal(0, 0.2, (4, times)), part


def test_a_long_record_is_regression_on_the_others():
    # Ordinary least squares on the three others, which knows nothing of us, by NumPy; one part of the day.
    values, _ = village(20000)
    part = np.zeros(20000, dtype=int)
    expected, _ = record.learn(SITES, 0.2, FIELD, values, part).without(values, part)
    others = np.column_stack([np.ones(20000), values[1:].T])
    regression = others @ np.linalg.lstsq(others, values[0], rcond=None)[0]
    assert_allclose(expected[0], regression, atol=0.02)


def test_habits_by_part_of_the_day_are_learnt():
    values, part = village(2000)
    now, then = village(400, seed=2)
    expected, error = record.learn(SITES, 0.2, FIELD, values, part).without(now, then)
    departure = now - expected
    assert (np.sqrt(np.mean(departure**2, axis=1)) < 0.25).all()
    assert_allclose(np.mean(np.abs(departure) <= 1.6449 * error), 0.9, atol=0.03)


def test_the_closed_form_equals_conditioning_without_the_station():
    values, part = village(300)
    learnt = record.learn(SITES, 0.2, FIELD, values, part)
    silent = values.copy()
    silent[2] = np.nan
    whole, alone = learnt.without(values, part), learnt.without(silent, part)
    for closed, conditioned in zip(whole, alone, strict=True):
        assert_allclose(closed[2], conditioned[2], atol=1e-9)


def test_a_station_silent_on_the_hot_days_is_not_thought_steady():
    values, part = village(2000)
    holes = values.copy()
    holes[1, values[0] > 290] = np.nan
    whole, gappy = (record.learn(SITES, 0.2, FIELD, seen, part) for seen in (values, holes))
    assert_allclose(gappy.covariance[1, 1], whole.covariance[1, 1], rtol=0.05)
    assert_allclose(gappy.mean[1], whole.mean[1], atol=0.05)


def test_nobody_left_to_ask_leaves_the_mean_of_the_record():
    values, part = village(500)
    learnt = record.learn(SITES, 0.2, FIELD, values, part)
    expected, error = learnt.without(np.full((4, 1), np.nan), [0])
    assert_allclose(expected[:, 0], learnt.mean[:, 0])
    assert (error > 3.5).all()  # the weather itself varies by five kelvin
