"""Clear calm nights and sunny afternoons, in days made up by hand."""

import numpy as np
from numpy.testing import assert_array_equal

from network.science.occasions import clear_calm_nights, sunny_afternoons

HOURS = 5 * 24
SOLAR = np.arange(HOURS) * 3600 + 1800
SUN = 40 * np.sin((SOLAR / 86400 - 0.25) * 2 * np.pi)  # [deg] up from six to six
"""Five days from midnight; so four whole nights, the first and last halves beside."""


def light(*days: float) -> np.ndarray:
    """A share of light for each day, unknown at night."""
    return np.where(SUN > 0, np.repeat(days, 24), np.nan)


def test_half_a_night_is_as_clear_as_the_daylight_beside_it():
    found = clear_calm_nights(SOLAR, SUN, light(0.9, 0.95, 0.4, 0.3, 0.9), np.full(HOURS, 1.0))
    assert_array_equal(found.meant, [True, True, True, False, True, True])
    assert_array_equal(found.other, [False, False, False, True, False, False])
    # The night of the second day counts up to midnight, that of the fourth from midnight on.
    assert_array_equal(np.flatnonzero(found.group == 2), np.arange(42, 48))
    assert_array_equal(np.flatnonzero(found.group == 4), np.arange(96, 102))


def test_wind_makes_it_another_night_and_nobody_measuring_it_none():
    wind = np.full(HOURS, 1.0)
    wind[18:30], wind[42:54] = 5.0, np.nan
    found = clear_calm_nights(SOLAR, SUN, light(0.9, 0.9, 0.9, 0.9, 0.9), wind)
    assert_array_equal(found.meant, [True, False, False, True, True, True])
    assert_array_equal(found.other, [False, True, False, False, False, False])


def test_a_night_with_clouds_on_one_side_and_nobody_looking_on_the_other_is_not_known():
    found = clear_calm_nights(SOLAR, SUN, light(0.3, 0.3, np.nan, 0.9, 0.9), np.full(HOURS, 1.0))
    assert not found.meant[2] and not found.other[2]
    assert found.other[1] and found.meant[3]


def test_occasions_are_counted_from_the_first_whenever_that_was():
    late = clear_calm_nights(SOLAR + 20000 * 86400, SUN, light(0.9, 0.95, 0.4, 0.3, 0.9), np.full(HOURS, 1.0))
    assert_array_equal(late.meant, [True, True, True, False, True, True])
    assert not len(sunny_afternoons([], [], []).meant)


def test_the_hours_of_a_night_are_those_with_the_sun_down():
    found = clear_calm_nights(SOLAR, SUN, light(0.9, 0.9, 0.9, 0.9, 0.9), np.full(HOURS, 1.0))
    assert_array_equal(found.group >= 0, SUN < 0)
    colder = np.where(SUN < 0, -2.0, 3.0)
    colder[18:24] = np.nan
    # Half of the first night's twelve hours are missing: too few for a mean.
    assert_array_equal(found.means(colder), [-2.0, np.nan, -2.0, -2.0, -2.0, -2.0])


def test_a_sunny_afternoon_begins_at_noon_by_the_sun_and_ends_with_the_high_sun():
    found = sunny_afternoons(SOLAR, SUN, light(0.9, 0.3, np.nan, 0.9, 0.5))
    assert_array_equal(found.meant, [True, False, False, True, False])
    assert_array_equal(found.other, [False, True, False, False, True])
    # The sun stands above 10° until about 14.5 hours past the midnight of asin(10 / 40), an hour before it sets.
    hours = np.flatnonzero(found.group == 0)
    assert hours.min() == 12 and hours.max() == 16
