"""The scorecard: stations whose errors are known because they were made, and what it makes of too little."""

from dataclasses import replace

import numpy as np
import pytest

from network.quality.record import Record
from network.quality.scorecard import Scored, card, from_departures
from tests.quality.records import Measured, Seconds, records

BEGIN, DAYS = "2025-05-01", 20


def add_known_errors(values: Measured, seconds: Seconds) -> None:
    """The fourth station scatters by another 0.8 K, the sixth reads 1.5 K high."""
    values["air_temperature"][3] += 0.8 * np.random.default_rng(1).standard_normal(seconds.size)
    values["air_temperature"][5] += 1.5


@pytest.fixture(scope="module")
def village() -> list[Record]:
    return records(103, BEGIN, DAYS, faults=add_known_errors)


def scored(records: list[Record], days: float = DAYS) -> dict[tuple[int, str], Scored]:
    begins_at = int(records[0].seconds[0]) - 600
    return {
        (one.station, one.variable): one for one in card(records, begins_at, begins_at + int(days * 86400))
    }


def test_a_station_that_scatters_more_is_told_by_how_much(village):
    found = scored(village)
    others = [found[i, "air_temperature"].random_error for i in (1, 2, 3, 5, 7, 8, 9, 10)]
    noisy = found[4, "air_temperature"]
    assert noisy.method == "collocation"
    assert noisy.low <= np.hypot(0.8, np.nanmedian(others)) <= noisy.high
    assert np.nanmax(others) < 0.6


def test_a_scatter_put_in_all_stations_comes_out_of_the_barometers(village):
    # tests/quality/records.py: 30 Pa from frame to frame, and whole tenths of a hectopascal on top.
    found = [one.random_error for key, one in scored(village).items() if key[1] == "sea_level_pressure"]
    assert np.median(found) == pytest.approx(np.hypot(30, 10 / np.sqrt(12)), rel=0.15)


def test_a_bias_comes_with_an_interval_that_counts_the_memory_of_the_series(village):
    usual = scored(records(103, BEGIN, DAYS))[6, "air_temperature"]
    found = scored(village)[6, "air_temperature"]
    assert found.bias - usual.bias == pytest.approx(1.5, abs=0.1)
    assert found.independent < found.frames / 5
    naive = np.nanstd(village[5].departures["air_temperature"]) / np.sqrt(found.frames)
    assert found.bias_error > 2 * naive


def test_a_bias_of_a_longer_record_is_surer(village):
    assert (
        scored(village, 20)[2, "air_temperature"].bias_error
        < scored(village, 5)[2, "air_temperature"].bias_error
    )


def test_two_stations_have_only_their_departures_to_go_by(village):
    found = scored(village[:2])[1, "air_temperature"]
    assert found.method == "departures"


def test_the_scatter_of_departures_is_told_without_the_error_of_what_was_expected():
    # Constructed: a scatter of 0.5 against expectations that are off by 0.3: together the root of their squares.
    random = np.random.default_rng(2)
    departures = np.hypot(0.5, 0.3) * random.standard_normal(4000)
    found = from_departures(1, "air_temperature", departures, np.full(4000, 0.3))
    assert found.random_error == pytest.approx(0.5, rel=0.05) and found.low < 0.5 < found.high


def test_a_scatter_below_the_error_of_what_was_expected_is_not_told():
    departures = 0.2 * np.random.default_rng(3).standard_normal(400)
    found = from_departures(1, "air_temperature", departures, np.full(400, 0.5))
    assert np.isnan(found.random_error) and np.isnan(found.high) and found.low == 0


def test_a_day_of_nonsense_changes_little(village):
    before = scored(village)[2, "air_temperature"]
    spoilt = village[1].departures["air_temperature"].copy()
    spoilt[1000:1144] += 40
    departures = {**village[1].departures, "air_temperature": spoilt}
    after = scored([village[0], replace(village[1], departures=departures), *village[2:]])[
        2, "air_temperature"
    ]
    assert after.bias == pytest.approx(before.bias, abs=0.02)
    assert after.random_error == pytest.approx(before.random_error, abs=0.05)


def test_too_few_frames_are_left_out_and_only_the_newest_record_of_a_station_counts(village):
    assert scored(village, 0.2) == {}
    older = replace(village[0], seconds=village[0].seconds - 86400 * DAYS)
    assert len(scored([*village, older])) == len(scored(village))
