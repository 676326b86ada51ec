"""Weeks of a gauge and of a rotor beside their neighbours: the invented village with faults put in by hand."""

import numpy as np
import pytest

from network.quality.checks import catch, rotor_start, wind_by_direction
from network.quality.finding import Finding
from tests.quality.records import Faults, Measured, Seconds, records
from tests.quality.windows import window

CHECKS = {check.name: check for check in (catch.CHECK, wind_by_direction.CHECK, rotor_start.CHECK)}
SEASONS = ["2025-01-05", "2025-04-05", "2025-07-01", "2025-10-01"]
SINCE = 15 * 144  # frames


def found(check: str, faults: Faults | None, seed: int, begin: str, days: float = 35) -> list[Finding]:
    """What a check finds in the first of ten stations."""
    return CHECKS[check].look_back(records(seed, begin, days, faults=faults)[0])


def catching(share: float) -> Faults:
    def faults(values: Measured, _: Seconds) -> None:
        values["rain_amount"][0, SINCE:] *= share

    return faults


def starting_at(speed: float) -> Faults:
    def faults(values: Measured, _: Seconds) -> None:
        wind = values["wind_speed"][0]
        values["wind_speed"][0] = np.where(wind < speed, 0.0, wind)

    return faults


def sheltered(first: float, last: float, share: float) -> Faults:
    def faults(values: Measured, _: Seconds) -> None:
        inside = (values["wind_from_direction"][0] - first) % 360 < (last - first) % 360
        values["wind_speed"][0, inside] *= share

    return faults


@pytest.mark.parametrize("begin", SEASONS)
@pytest.mark.parametrize("stations", [4, 10])
def test_sound_gauges_and_rotors_are_left_alone_in_every_season(begin: str, stations: int):
    for record in records(120, begin, 35, stations):
        assert not [found for check in CHECKS.values() for found in check.look_back(record)]


@pytest.mark.parametrize("seed", [130, 131, 132])
def test_a_blocked_gauge_is_found_within_two_wet_spells(seed: int):
    begin = SEASONS[seed % 4]
    (blocked,) = found("catch", catching(0.0), seed, begin)
    assert blocked.hint == "almost nothing" and blocked.size < 0.1
    record = records(seed, begin, 35, faults=catching(0.0))[0]
    assert blocked.begins_at >= record.seconds[SINCE] - 12 * 3600
    assert blocked.ends_at == record.seconds[-1]


@pytest.mark.parametrize(
    ("share", "hint"), [(0.4, "about half"), (1.7, "half as much again"), (2.6, "twice as much")]
)
def test_a_gauge_that_leaks_or_counts_too_much_is_told_by_how_much(share: float, hint: str):
    (wrong,) = found("catch", catching(share), 133, "2025-04-05")
    assert wrong.hint == hint
    assert wrong.size == pytest.approx(share, rel=0.25)  # the gauge itself may be off by a tenth or two


def test_what_somebody_pours_into_a_gauge_is_rain_that_nobody_else_had():
    def poured(values: Measured, _: Seconds) -> None:
        dry = np.flatnonzero(np.convolve(values["rain_amount"].max(axis=0), np.ones(73), "same") == 0)
        values["rain_amount"][0, dry[dry.size // 2]] = 5.0

    (alone,) = found("catch", poured, 135, "2025-07-01")
    assert alone.hint == catch.ALONE and alone.ends_at - alone.begins_at == 600


def test_a_gauge_that_shakes_in_the_wind_is_found_again_and_again():
    def shaken(values: Measured, _: Seconds) -> None:
        values["rain_amount"][0] += np.where(values["wind_gust"][0] > 6.5, 0.1, 0.0)

    assert catch.ALONE in {each.hint for each in found("catch", shaken, 136, "2025-01-05")}


@pytest.mark.parametrize(
    ("first", "last", "winds"), [(240, 300, "winds from the west"), (225, 315, "round to the north-west")]
)
def test_a_sheltered_side_is_named(first: float, last: float, winds: str):
    (behind,) = found("wind_by_direction", sheltered(first, last, 0.3), 137, "2025-10-01")
    assert winds in behind.hint and behind.size == pytest.approx(0.3, abs=0.1)


def test_a_rotor_sheltered_all_round_is_told_so():
    (behind,) = found("wind_by_direction", sheltered(0, 359.9, 0.3), 137, "2025-10-01")
    assert behind.hint == wind_by_direction.ANY


def test_only_the_winds_from_the_sheltered_side_are_in_doubt():
    behind = Finding("wind_by_direction", "wind_speed", 0, 1 << 40, 1.5, 0.5, 0.05, "winds from the west")
    station = window(
        {"wind_speed": [2.0, 2.0, 2.0], "wind_from_direction": [270.0, 90.0, np.nan]}, findings=[behind]
    )
    (seen,) = CHECKS["wind_by_direction"].look(station)
    assert list(seen.speaks()) == [True, False, False]
    assert np.asarray(seen.expected)[0] == 4.0


@pytest.mark.parametrize("starts_at", [1.6, 2.0])
def test_a_rotor_that_starts_late_is_found_and_only_its_rests_are_in_doubt(starts_at: float):
    # Small cups start at 0.3 to 1 m/s: common practice.
    (late,) = found("rotor_start", starting_at(starts_at), 138, "2025-04-05")
    assert late.size == pytest.approx(starts_at, rel=0.3)
    station = window(
        {"wind_speed": [0.0, 3.0]}, seconds=late.ends_at + np.array([-600, -300]), findings=[late]
    )
    (seen,) = CHECKS["rotor_start"].look(station)
    assert list(seen.speaks()) == [True, False]


@pytest.mark.parametrize("check", CHECKS)
def test_a_station_without_neighbours_and_a_record_of_an_hour_show_nothing(check: str):
    assert not CHECKS[check].look_back(records(100, "2025-04-05", 35, stations=1)[0])
    assert not found(check, None, 100, "2025-04-05", days=1 / 24)
