"""Months from days: the rules of WMO-No. 1203, from memory, on months whose gaps are known."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science import climate

NAN = np.nan


def month(*missing: int, days: int = 30) -> np.ndarray:
    """A month of 10 degrees, these days (the first is 1) missing."""
    values = np.full(days, 10.0)
    values[np.array(missing, dtype=int) - 1] = NAN
    return values


@pytest.mark.parametrize(
    ("missing", "stands"),
    [
        ((), True),
        ((3, 4, 5, 6), True),  # four in a row
        ((3, 4, 5, 6, 7), False),  # five in a row
        ((1, 3, 5, 7, 9, 11, 13, 15, 17, 19), True),  # ten in all
        ((1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21), False),  # eleven
        ((26, 27, 28, 29, 30), False),  # a gap at the end counts as one
    ],
)
def test_a_month_has_a_mean_unless_eleven_days_or_five_in_a_row_are_missing(
    missing: tuple[int, ...], stands: bool
) -> None:
    # WMO-No. 1203 (2017), completeness of monthly means; from memory.
    told = climate.mean_of_days(month(*missing))
    assert told.stands is stands
    assert (told.value, told.missing) == (10.0, len(missing))


def test_a_month_that_has_just_begun_needs_two_thirds_of_its_days() -> None:
    assert climate.mean_of_days([1.0, NAN, 3.0]).stands
    assert not climate.mean_of_days([1.0, NAN]).stands


def test_of_no_day_nothing_is_told() -> None:
    for told in (climate.mean_of_days([NAN, NAN]), climate.total([NAN]), climate.total([])):
        assert np.isnan(told.value) and not told.stands


def test_a_total_with_an_hour_missing_is_only_a_lower_bound() -> None:
    # WMO-No. 1203 (2017): a sum needs every one of its days; from memory.
    assert climate.total([1.0, 2.5, 0.0]) == climate.Told(3.5, 3, 3, True)
    assert climate.total([1.0, NAN, 2.5]) == climate.Told(3.5, 2, 3, False)


def test_days_are_counted_from_a_millimetre_on_also_when_tips_make_it_up() -> None:
    tips = sum([0.2] * 5)
    assert climate.wet_days([tips, 0.8, 0.1 * 3 + 0.7, 12.0, NAN]) == climate.Told(3.0, 4, 5, False)


def test_frost_needs_a_night_below_freezing_and_ice_a_whole_day() -> None:
    low, high = np.array([272.0, 273.15, 260.0, NAN]), np.array([275.0, 280.0, 273.0, 270.0])
    assert climate.frost_days(low).value == 2
    assert climate.ice_days(high).value == 2


def test_growing_degree_days_are_what_the_middle_lies_above_the_base() -> None:
    # McMaster and Wilhelm (1997), method 1, from memory: 30 and 20 degrees above a base of 10 give 15; never below 0.
    found = climate.growing_degree_days([293.15, 275.15, NAN], [303.15, 283.15, 290.0], 283.15)
    assert_allclose(found, [15.0, 0.0, NAN])


def test_the_longest_gap_is_found_wherever_it_lies() -> None:
    assert [climate.longest_gap(each) for each in ([], [1.0], [NAN, 1.0, NAN, NAN], [NAN] * 3)] == [
        0,
        0,
        2,
        3,
    ]
