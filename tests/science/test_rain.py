"""Rain against gauge arithmetic, a published rate and counters made up to misbehave."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from network.science import rain
from tests.published import rains


def test_tip_sizes_agree_with_the_table():
    area, volume, expected = np.array(rains.TIPS).T
    assert_allclose(rain.tip_size(volume * 1e-6, area * 1e-4), expected, rtol=0, atol=0.0005)


def test_a_counter_gives_what_was_added():
    assert_allclose(rain.increments([3, 3, 5, 9]), [np.nan, 0, 2, 4])


def test_a_counter_that_wraps_goes_on():
    assert_allclose(rain.increments([250, 254, 3], modulus=256), [np.nan, 4, 5])


def test_a_counter_that_is_reset_begins_again():
    assert_allclose(rain.increments([40, 0, 2], modulus=256), [np.nan, 0, 2])
    assert_allclose(rain.increments([12.2, 0.2, 0.4]), [np.nan, 0.2, 0.2])


def test_a_counter_that_slips_back_a_little_gives_no_flood():
    assert_allclose(rain.increments([812.4, 812.2, 812.6]), [np.nan, np.nan, 0.4])


def test_the_amount_of_a_gap_goes_to_the_first_value_after_it():
    assert_allclose(rain.increments([np.nan, 3, np.nan, np.nan, 8]), [np.nan, np.nan, np.nan, np.nan, 5])


@given(st.lists(st.integers(0, 63), min_size=1, max_size=50), st.integers(0, 255))
def test_a_wrapping_counter_hides_nothing_as_long_as_it_is_read_often(added, start):
    counter = (start + np.cumsum([0, *added])) % 256
    assert_allclose(rain.increments(counter, modulus=256)[1:], added)


def test_fast_tips_give_the_published_rate():
    tip, apart, expected = rains.FAST_TIPS
    seconds = np.round(np.arange(1, 201) * apart)
    assert_allclose(rain.intensity(seconds, np.full(200, tip))[-1], expected, rtol=0.02)


def test_a_single_tip_is_not_a_rate():
    # Common practice: one tip of 0.2 mm in an hour says about 0.2 mm/h, not 2.4.
    amount = np.zeros(30)
    amount[15] = 0.2
    rate = rain.intensity(np.arange(30) * 300, amount)
    assert_allclose(rate.max(), 0.2)
    assert_allclose(rate[[14, 15, 26, 27]], [0, 0.2, 0.2, 0], atol=1e-12)


def test_steady_rain_has_its_own_rate():
    # Constructed: a tip of 0.2 mm every five minutes is 2.4 mm/h, twice that 4.8 mm/h.
    seconds = np.arange(40) * 300
    assert_allclose(rain.intensity(seconds, np.full(40, 0.2))[-1], 2.4)
    assert_allclose(rain.intensity(seconds, np.full(40, 0.4))[-1], 4.8)


def test_a_cloudburst_shows_at_once():
    # Constructed: 4 mm in one five-minute report after a dry hour is 48 mm/h.
    assert_allclose(rain.intensity(np.arange(14) * 300, [0.0] * 13 + [4.0])[-1], 48)


def test_the_start_of_a_record_and_a_gap_make_no_spike():
    assert_allclose(rain.intensity([0, 300], [4.0, 0.2]), [4.0, 4.2])
    assert_allclose(rain.intensity([0, 300, 86400], [0.0, 0.0, 4.0])[-1], 4.0)


def test_a_missing_amount_has_no_rate_and_takes_none_away():
    rate = rain.intensity(np.arange(5) * 300, [0.0, 4.0, np.nan, np.nan, 4.0])
    assert_allclose(rate, [0, 48, np.nan, np.nan, 48])
    assert rain.intensity([], []).shape == (0,)


@pytest.mark.parametrize(("rate", "word"), rains.CLASSES)
def test_classes_of_intensity_agree_with_the_annex(rate, word):
    assert rain.intensity_class(rate) == word


def test_no_rain_and_no_reading_are_told_apart():
    assert_array_equal(rain.intensity_class([0.0, np.nan, 0.1]), ["none", "", "light"])
