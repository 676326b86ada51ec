"""Summaries against worked days and hand-made groups."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science.summary import summarise
from tests.published import clocks, winds

DAY = clocks.HOURLY_TEMPERATURES


def test_a_day_of_hourly_temperatures_agrees_with_the_worked_example():
    found = summarise(DAY, np.zeros(24, dtype=int), "mean", due=24)
    assert_allclose(found["mean"], [clocks.DAILY_MEAN])
    assert_allclose((found["low"] + found["high"]) / 2, [clocks.MEAN_OF_EXTREMES])
    assert_allclose(found["count"], [24])
    assert np.isnan(found["total"]).all()


def test_each_group_is_summed_up_by_itself_in_any_order():
    found = summarise([1.0, 5.0, np.nan, 3.0], [2, 0, 0, 2], "sum")
    assert_allclose(found["total"], [5, np.nan, 4])
    assert_allclose(found["mean"], [5, np.nan, 2])
    assert_allclose(found["low"], [5, np.nan, 1])
    assert_allclose(found["high"], [5, np.nan, 3])
    assert_allclose(found["count"], [1, 0, 2])


def test_a_period_with_less_than_two_thirds_of_its_values_keeps_only_its_count():
    # 66 %, from memory: of 12 due 8 are enough and 7 are not.
    values, groups = np.ones(15), np.repeat([0, 1], [8, 7])
    found = summarise(values, groups, "mean", due=[12, 12, 12])
    assert_allclose(found["mean"], [1, np.nan, np.nan])
    assert_allclose(found["count"], [8, 7, 0])


@pytest.mark.parametrize(("speeds", "directions", "speed", "direction"), winds.MEAN_VECTORS)
def test_directions_weighed_by_speed_agree_with_the_table_of_mean_vectors(
    speeds, directions, speed, direction
):
    found = summarise(directions, np.zeros(len(speeds), dtype=int), "direction", speed=speeds)
    assert_allclose(found["mean"], [np.nan if direction is None else direction], rtol=0, atol=0.001)
    assert np.isnan([found["low"], found["high"], found["total"]]).all()


def test_directions_alone_are_averaged_on_the_circle():
    assert_allclose(summarise([350.0, 10.0, 90.0], [0, 0, 1], "direction")["mean"], [360.0, 90.0])


def test_nothing_is_summed_up_to_nothing():
    assert summarise([], [], "mean")["mean"].shape == (0,)
    assert_allclose(summarise([], [], "sum", due=[12, 12])["count"], [0, 0])
