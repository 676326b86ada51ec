"""Weeks of a station that breaks, drifts, stands off or moves: in the invented village, with faults put in by hand."""

from itertools import pairwise

import numpy as np
import pytest

from network.quality.checks import break_point, drift, moved, offset
from network.quality.finding import Finding
from network.quality.lasting import lasting
from network.quality.record import Record
from network.quality.window import Floats
from tests.quality.records import Faults, Measured, Seconds, records, weather
from tests.quality.records import moved as moving

CHECKS = (moved.CHECK, break_point.CHECK, drift.CHECK, offset.CHECK)
SEASONS = ["2025-01-10", "2025-04-10", "2025-07-10", "2025-10-10"]
DAY, HOUR = 86400, 3600
STATION = 4


def look_back(record: Record) -> list[Finding]:
    return [found for check in CHECKS for found in check.look_back(record)]


def since(begin: str, seed: int, days: float) -> int:
    """Some hours into the twentieth day."""
    return int(weather(seed, begin, days)[0][0]) + 20 * DAY + 7 * HOUR


def added(variable: str, size: float, at: int, per_day: float = 0.0, until: float = np.inf) -> Faults:
    """What one station reads too much: at once, or more by every day."""

    def faults(values: Measured, seconds: Seconds) -> None:
        off: Floats = np.where((seconds > at) & (seconds <= until), size, 0.0)
        off += per_day * np.clip((seconds - at) / DAY, 0.0, 10.0)
        values[variable][STATION] += off

    return faults


@pytest.mark.parametrize("begin", SEASONS)
@pytest.mark.parametrize("stations", [4, 10])
def test_sound_stations_are_left_alone_in_every_season(begin: str, stations: int):
    for record in records(121, begin, 35, stations):
        assert not look_back(record)


@pytest.mark.parametrize("begin", SEASONS)
@pytest.mark.parametrize(
    ("variable", "size"),
    [("air_temperature", -1.0), ("station_pressure", 200.0), ("relative_humidity", -0.15)],
)
def test_a_break_is_found_within_three_days_and_to_the_hour(begin: str, variable: str, size: float):
    at = since(begin, 122, 23.0)
    (found,) = look_back(records(122, begin, 23.0, faults=added(variable, size, at))[STATION])
    assert (found.check, found.variable) == ("break_point", variable)
    assert abs(found.begins_at - at) <= 2 * HOUR
    assert abs(found.size - size) < max(3 * found.error, 0.2 * abs(size))


def test_what_was_mended_ends_when_it_was_mended():
    at = since(SEASONS[1], 122, 35.0)
    mended = at + 5 * DAY
    faults = added("air_temperature", 1.0, at, until=mended)
    (found,) = look_back(records(122, SEASONS[1], 35.0, faults=faults)[STATION])
    assert (found.check, found.hint) == ("break_point", "until it was mended")
    assert abs(found.begins_at - at) <= 2 * HOUR and abs(found.ends_at - mended) <= 2 * HOUR


@pytest.mark.parametrize("begin", SEASONS)
def test_a_drift_of_one_kelvin_in_ten_days_is_told_from_a_break(begin: str):
    at = since(begin, 123, 31.0)
    found = look_back(
        records(123, begin, 31.0, faults=added("air_temperature", 0.0, at, per_day=0.1))[STATION]
    )
    assert {(each.check, each.variable) for each in found} == {("drift", "air_temperature")}
    sizes = [each.size for each in found]
    assert sizes == sorted(sizes) and abs(sizes[-1] - 1.0) < 0.3
    assert all(one.ends_at == other.begins_at for one, other in pairwise(found))


@pytest.mark.parametrize("begin", SEASONS)
@pytest.mark.parametrize("uphill", [-30.0, 30.0])
def test_a_station_carried_up_or_down_is_said_to_have_moved(begin: str, uphill: float):
    at = since(begin, 124, 26.0)
    (found,) = look_back(
        records(124, begin, 26.0, faults=moving(124, STATION, 250.0, 150.0, at, uphill))[STATION]
    )
    assert (found.check, found.variable) == ("moved", "")
    assert found.hint.split()[0] == ("higher" if uphill > 0 else "lower")
    assert abs(found.size - uphill) < 5.0 and abs(found.begins_at - at) <= 2 * HOUR


def test_a_false_barometer_has_not_moved():
    at = since(SEASONS[0], 125, 32.0)
    (found,) = look_back(
        records(125, SEASONS[0], 32.0, faults=added("station_pressure", -300.0, at))[STATION]
    )
    assert (found.check, found.variable) == ("break_point", "station_pressure")


def test_a_drift_is_found_beside_an_older_break_that_was_mended():
    at = since(SEASONS[3], 123, 35.0)
    before = at - 9 * DAY
    drifting = added("air_temperature", 0.0, at, per_day=0.1)
    broken = added("air_temperature", -2.0, before, until=before + 4 * DAY)

    def both(values: Measured, seconds: Seconds) -> None:
        broken(values, seconds)
        drifting(values, seconds)

    found = look_back(records(123, SEASONS[3], 35.0, faults=both)[STATION])
    assert {each.check for each in found} == {"break_point", "drift"}
    (mended,) = (each for each in found if each.check == "break_point")
    assert abs(mended.begins_at - before) <= 2 * HOUR and abs(mended.size + 2.0) < 0.3
    last = found[-1]
    assert last.check == "drift" and abs(last.size - 1.0) < 0.3


def test_a_drift_is_found_after_days_without_a_shield():
    at = since(SEASONS[2], 123, 33.0)

    def faults(values: Measured, seconds: Seconds) -> None:
        unshielded = (seconds > at - 12 * DAY) & (seconds <= at - 5 * DAY)
        by_day = (seconds % DAY > 9 * HOUR) & (seconds % DAY < 17 * HOUR)
        values["air_temperature"][STATION] += np.where(unshielded & by_day, 4.0, 0.0)
        added("air_temperature", 0.0, at, per_day=-0.1)(values, seconds)

    found = look_back(records(123, SEASONS[2], 33.0, faults=faults)[STATION])
    assert {each.check for each in found} == {"drift"}
    assert abs(found[-1].size + 1.0) < 0.3


@pytest.mark.parametrize(("variable", "size"), [("station_pressure", -300.0), ("air_temperature", 3.0)])
def test_a_station_that_always_stood_off_has_an_offset(variable: str, size: float):
    (found,) = look_back(records(126, SEASONS[2], 25.0, faults=added(variable, size, 0))[STATION])
    assert (found.check, found.variable) == ("offset", variable)
    assert abs(found.size - size) < 3 * found.error


def test_an_offset_that_was_put_right_ends_there_and_what_follows_is_sound():
    at = since(SEASONS[2], 126, 35.0)
    faults = added("station_pressure", -300.0, 0, until=at)
    (found,) = look_back(records(126, SEASONS[2], 35.0, faults=faults)[STATION])
    assert found.check == "offset" and abs(found.ends_at - at) <= 2 * HOUR


def test_what_broke_before_all_that_is_seen_lasts_until_it_is_mended():
    at = since(SEASONS[0], 122, 35.0)
    small = {"size": 0.8, "at": 0}  # smaller than any offset that could be told by itself
    record = records(122, SEASONS[0], 35.0, faults=added("air_temperature", **small))[STATION]
    known = int(record.seconds[0]) + 10 * DAY
    broke = Finding("break_point", "air_temperature", known - 5 * DAY, known, 2.0, 0.8, 0.1)
    assert not look_back(record)
    (still,) = lasting(record, [], [broke], known)
    assert (still.begins_at, still.ends_at, still.size) == (known, record.seconds[-1], 0.8)
    mended = records(122, SEASONS[0], 35.0, faults=added("air_temperature", **small, until=at))[STATION]
    (ended,) = lasting(mended, [], [broke], known)
    assert abs(ended.ends_at - at) <= 12 * HOUR
    assert not list(lasting(record, [broke], [broke], known)), "it is found anew"


def test_gaps_single_stations_and_short_records_are_met_with_silence():
    at = since(SEASONS[0], 122, 35.0)

    def broken(values: Measured, seconds: Seconds) -> None:
        added("air_temperature", 1.0, at)(values, seconds)
        values["air_temperature"][STATION, np.random.default_rng(1).random(seconds.size) < 0.4] = np.nan
        values["air_temperature"][STATION, 1000:1400] = np.nan

    (found,) = look_back(records(122, SEASONS[0], 35.0, faults=broken)[STATION])
    assert found.check == "break_point" and abs(found.begins_at - at) <= 2 * HOUR
    assert not look_back(records(122, SEASONS[0], 35.0, stations=1)[0])
    assert not look_back(records(122, SEASONS[0], 1.0)[0])
    assert not look_back(records(122, SEASONS[0], 0.25)[0])
