"""Times grouped by who reports."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.testing import assert_array_equal

from network.spatial.patterns import distinct, gather, patterns

attendance = arrays(bool, st.tuples(st.integers(1, 20), st.integers(0, 30)))


@given(attendance)
def test_every_time_is_in_the_one_group_of_its_stations(present):
    groups = list(patterns(present))
    assert sorted(time for _, times in groups for time in times) == list(range(present.shape[1]))
    assert all((present[:, times] == mask[:, None]).all() for mask, times in groups)
    assert len({mask.tobytes() for mask, _ in groups}) == len(groups)


@given(attendance.filter(lambda present: present.shape[1] > 0))
def test_gathering_puts_each_time_back(present):
    numbers = np.arange(present.size, dtype=float).reshape(present.shape)
    parts = [(times, (numbers[:, times],)) for _, times in patterns(present)]
    assert_array_equal(gather(parts, present.shape[1])[0], numbers)


def test_times_that_are_alike_are_told_once():
    values = np.array([[0.0, 1.0, 0.0, np.nan], [0.0, 2.0, 0.0, 0.0]])
    first, which = distinct(values)
    assert len(first) == 3
    assert_array_equal(values[:, first][:, which], values)
