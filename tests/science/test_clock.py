"""Clocks against the changes of summer time, with Python's own zones as the authority."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_array_equal

from network.science import clock
from tests.published import clocks


def epoch(*texts):
    return np.array(texts, dtype="datetime64[s]").astype(np.int64)


def utc(*local):
    return clock.to_utc(local, clocks.ZONE)


@pytest.mark.parametrize(("day", "hours"), [clocks.SHORT_DAY, clocks.LONG_DAY])
def test_a_local_day_has_23_or_25_hours_when_the_clock_changes(day, hours):
    next_day = str(np.datetime64(day) + 1)
    begins, ends = utc(f"{day}T00:00", f"{next_day}T00:00")
    assert ends - begins == hours * 3600


def test_a_repeated_time_alone_means_the_first():
    local, first, _ = clocks.REPEATED
    assert_array_equal(utc(local), epoch(first))


def test_in_a_sequence_the_step_back_begins_the_second_pass():
    found = utc(*(f"2026-10-25T{hm}" for hm in ("01:30", "02:00", "02:30", "02:00", "02:30", "03:00")))
    assert_array_equal(np.diff(found), [1800] * 5)
    assert_array_equal(found[[2, 4]], epoch(*clocks.REPEATED[1:]))


def test_an_hourly_record_says_the_repeated_hour_twice():
    found = utc(*(f"2026-10-25T{h}:00" for h in ("01", "02", "02", "03")))
    assert_array_equal(np.diff(found), [3600] * 3)


def test_out_of_sequence_a_repeated_time_means_the_first():
    found = utc("2026-10-26T12:00", "2026-10-25T02:30", "2026-10-25T02:30", "2026-10-25T12:00")
    assert_array_equal(found[1:3], epoch(clocks.REPEATED[1], clocks.REPEATED[1]))


def test_a_time_the_clock_leapt_over_is_moved_forward_and_reported():
    times = [f"2026-03-29T{hm}" for hm in ("01:55", "02:00", "02:30", "03:30")]
    found = clock.to_utc(times, clocks.ZONE)
    assert_array_equal(
        found, epoch("2026-03-29T00:55", "2026-03-29T01:00", "2026-03-29T01:30", "2026-03-29T01:30")
    )
    assert_array_equal(clock.skipped(times, clocks.ZONE), [False, True, True, False])


def test_texts_datetimes_and_datetime64_mean_the_same():
    naive = datetime(2026, 7, 1, 12, 0)
    arrays = (["2026-07-01 12:00:00"], [naive], np.array(["2026-07-01T12:00"], dtype="datetime64[m]"))
    for local in arrays:
        assert_array_equal(clock.to_utc(local, clocks.ZONE), epoch("2026-07-01T10:00"))


def test_a_time_with_its_own_offset_keeps_it():
    assert_array_equal(
        utc("2026-07-01T12:00Z", "2026-07-01T12:00-05:00"), epoch("2026-07-01T12:00", "2026-07-01T17:00")
    )


@given(
    st.sampled_from(["Europe/Zurich", "America/New_York", "Australia/Lord_Howe", "Asia/Kolkata", "UTC"]),
    st.integers(0, 365 * 3),
    st.sampled_from([300, 600, 900, 1800]),
)
def test_a_gapless_local_record_comes_back_to_the_utc_it_was_written_in(zone, day, step):
    begins = int(datetime(2024, 1, 1, 12, tzinfo=UTC).timestamp()) + day * 86400
    seconds = begins + np.arange(0, 86400, step)
    local = [datetime.fromtimestamp(int(s), ZoneInfo(zone)).replace(tzinfo=None).isoformat() for s in seconds]
    assert_array_equal(clock.to_utc(local, zone), seconds)


def test_an_unknown_zone_and_an_unreadable_time_are_refused_with_the_way_out():
    for zone in ("Europe/Atlantis", "", "../etc"):
        with pytest.raises(clock.UnknownZone, match="use a name such as"):
            clock.to_utc(["2026-01-01T00:00"], zone)
    with pytest.raises(clock.UnreadableTime, match="'25/10/2026' is not a time: write it as"):
        utc("25/10/2026")


def test_a_period_ends_when_it_began_plus_its_length():
    assert_array_equal(clock.period_end([600, 900], "start", 300), [900, 1200])
    assert_array_equal(clock.period_end([600, 900], "end", 300), [600, 900])
    with pytest.raises(ValueError, match="'end' or the 'start'"):
        clock.period_end([600], "middle", 300)


def test_times_before_2000_and_more_than_ten_minutes_ahead_are_not_plausible():
    now = int(epoch("2026-07-01T12:00")[0])
    times = [*epoch("1999-12-31T23:59:59", "2000-01-01"), now, now + 600, now + 601]
    assert_array_equal(clock.plausible(times, now), [False, True, True, True, False])
