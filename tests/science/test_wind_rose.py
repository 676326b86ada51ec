"""The wind rose on winds whose place in it is known."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from network.science.wind_rose import CLASSES, SECTORS, wind_rose

some = st.floats(0, 40) | st.just(np.nan)


def test_a_sector_reaches_half_its_width_to_both_sides() -> None:
    # Sixteen sectors of 22.5 degrees, the first centred on north: common practice.
    rose = wind_rose([2.0] * 6, [360.0, 0.0, 11.24, 348.76, 11.26, 180.0])
    assert rose.counts.sum(axis=1).tolist() == [4, 1, 0, 0, 0, 0, 0, 0, 1] + [0] * 7


def test_classes_of_speed_begin_where_the_beaufort_scale_says() -> None:
    # Public tables of the scale: light breeze from 1.6 m/s, gentle 3.4, moderate 5.5, fresh 8.0.
    rose = wind_rose([1.5, 1.6, 3.3, 3.4, 5.4, 5.5, 7.9, 8.0, 30.0], [90.0] * 9)
    assert rose.counts[4].tolist() == [1, 2, 2, 2, 2]


def test_calms_turning_winds_and_missing_ones_are_told_apart() -> None:
    rose = wind_rose([0.0, 0.4, 3.0, np.nan, 3.0], [np.nan, 90.0, np.nan, 90.0, 90.0])
    assert (rose.calm, rose.turning, rose.missing, rose.counts.sum()) == (2, 1, 1, 1)


@given(st.lists(st.tuples(some, st.floats(0, 360) | st.just(np.nan)), max_size=40))
def test_every_wind_is_counted_once(pairs: list[tuple[float, float]]) -> None:
    speed, direction = np.array(pairs).reshape(-1, 2).T
    rose = wind_rose(speed, direction)
    assert rose.counts.shape == (SECTORS, len(CLASSES))
    assert rose.known + rose.missing == len(pairs)
