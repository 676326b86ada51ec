"""Wide rows to arrays and back: nothing is lost, NaN is NULL, and only what differs is touched."""

import numpy as np
import pytest
from django.db import connection
from numpy.testing import assert_array_equal

from network.models import Comparison, Observation
from network.models.storage import Rows, insert, read, replace, single
from stations.models import Station

pytestmark = pytest.mark.django_db
COLUMNS = ("said_twice", "air_temperature", "station_pressure", "air_temperature_mark")


@pytest.fixture
def stations(small_village):
    return list(Station.objects.of(small_village).values_list("pk", flat=True))[:2]


def rows(stations, temperature):
    """Three rows of each station at 300, 600 and 900 s."""
    count = 3 * len(stations)
    columns = {
        "said_twice": np.zeros(count),
        "air_temperature": single(np.resize(temperature, count)),
        "station_pressure": np.full(count, np.nan),
        "air_temperature_mark": np.resize([0.0, 1026.0, 7.0], count),
    }
    return Rows(np.repeat(stations, 3).astype(np.int64), np.tile([300, 600, 900], len(stations)), columns)


def where_rows_lie():
    """The database's own address of each row, which a row written anew does not keep."""
    address = "ctid" if connection.vendor == "postgresql" else "rowid"
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT station_id, observed_at, {address} FROM network_observation")
        return {(station, at): address for station, at, address in cursor.fetchall()}


def assert_equal(one, other):
    assert_array_equal(one.station, other.station)
    assert_array_equal(one.at, other.at)
    assert list(one.columns) == list(other.columns)
    assert_array_equal(one.matrix(), other.matrix())


def test_rows_come_back_as_they_went_in(stations):
    written = rows(stations, [280.15, np.nan, 281.7])
    insert(Observation, written)
    assert_equal(read(Observation, stations, 0, 1000, COLUMNS), written)


def test_what_is_missing_is_null_in_the_database_and_a_mark_is_a_whole_number(stations):
    insert(Observation, rows(stations, [280.15, np.nan, 281.7]))
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT air_temperature, station_pressure, air_temperature_mark FROM network_observation "
            "WHERE station_id = %s ORDER BY observed_at",
            [stations[0]],
        )
        found = cursor.fetchall()
    assert [row[0] is None for row in found] == [False, True, False]
    assert {row[1] for row in found} == {None}
    assert [row[2] for row in found] == [0, 1026, 7]
    assert all(isinstance(row[2], int) for row in found)


def test_a_span_includes_its_beginning_and_not_its_end(stations):
    insert(Observation, rows(stations, [280.0]))
    assert_array_equal(read(Observation, stations[:1], 300, 900, COLUMNS).at, [300, 600])


def test_nothing_is_read_where_nothing_is(stations):
    assert len(read(Observation, stations, 0, 1000, COLUMNS)) == 0
    assert len(read(Observation, [], 0, 1000, COLUMNS)) == 0


def test_replacing_touches_only_rows_that_differ(stations):
    old, new = rows(stations, [280.0, np.nan, 281.0]), rows(stations, [280.0, np.nan, 281.5])
    insert(Observation, old)
    before = where_rows_lie()
    assert_array_equal(replace(Observation, old, new), [900])
    after = where_rows_lie()
    assert [before[key] == after[key] for key in sorted(before)] == [True, True, False] * 2
    assert_equal(read(Observation, stations, 0, 1000, COLUMNS), new)


def test_replacing_with_the_same_touches_nothing(stations):
    same = rows(stations, [280.0, np.nan, 281.0])
    insert(Observation, same)
    before = where_rows_lie()
    assert len(replace(Observation, same, rows(stations, [280.0, np.nan, 281.0]))) == 0
    assert where_rows_lie() == before


def test_replacing_removes_what_is_no_more_and_adds_what_is_new(stations):
    both = rows(stations, [280.0])
    insert(Observation, both.of(stations[0]))
    replace(Observation, both.of(stations[0]), both.of(stations[1]))
    assert_equal(read(Observation, stations, 0, 1000, COLUMNS), both.of(stations[1]))


def test_single_precision_keeps_a_ten_thousandth_of_a_hectopascal_at_sea_level():
    # A 24-bit significand: near 1000 hPa neighbours lie 1/128 Pa apart (IEEE 754 binary32).
    pressure = np.array([101_325.004])
    assert abs(single(pressure) - pressure) <= 1 / 256


def test_columns_a_station_does_not_have_are_missing_when_stations_are_joined():
    one = Rows(np.array([1]), np.array([300]), {"a": np.array([1.0])})
    other = Rows(np.array([2]), np.array([300]), {"b": np.array([2.0])})
    assert_array_equal(Rows.join([other, one], ["a", "b"]).matrix(), [[1.0, np.nan], [np.nan, 2.0]])


def test_comparisons_are_stored_the_same_way(stations):
    written = Rows(np.array(stations[:1]), np.array([600]), {"air_temperature": single(np.array([-0.3]))})
    insert(Comparison, written)
    assert_equal(read(Comparison, stations, 0, 1000, ["air_temperature"]), written)
