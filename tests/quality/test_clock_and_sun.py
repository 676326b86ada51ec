"""What sun and neighbours say of a clock, a shield and a light sensor, where the fault is known because it was made."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.demo.instruments import radiation_error
from network.quality.check import Check
from network.quality.checks import clock, daytime_bias, light_loss, shaded
from network.quality.finding import Finding
from network.quality.record import Record
from network.quality.window import Window
from network.science.sun import solar_position
from tests.quality.records import Faults, Measured, Seconds, records, weather

DAY = 86400
ALL: tuple[Check, ...] = (clock.CHECK, daytime_bias.CHECK, shaded.CHECK, light_loss.CHECK)
AUTUMN, WINTER, SPRING, SUMMER = "2026-10-20", "2027-01-03", "2027-04-02", "2027-06-20"


def epoch(date: str) -> int:
    return int(datetime.fromisoformat(date).replace(tzinfo=UTC).timestamp())


def first(seed: int, begin: str, days: float, faults: Faults | None = None) -> Record:
    """The record of the first station, which has the fault."""
    return records(seed, begin, days, faults=faults)[0]


def alone(record: Record) -> Record:
    """The same station in a village of its own."""
    return replace(record, expected={}, departures={}, errors={}, around={})


def without_light(record: Record) -> Record:
    return replace(record, values={n: v for n, v in record.values.items() if n != "irradiance"})


def behind(delay: Callable[[Seconds], Seconds]) -> Faults:
    """A clock that stamps what happened ``delay`` seconds too early, a function of the seconds."""

    def faults(values: Measured, seconds: Seconds) -> None:
        late = delay(seconds)
        for each in values.values():
            each[0] = np.where(late != 0, np.interp(seconds + late, seconds, each[0]), each[0])

    return faults


def since(start: int, delay: float) -> Faults:
    return behind(lambda seconds: np.where(seconds > start, delay, 0.0))


def bare(seed: int, begin: str, days: float, start: int) -> Faults:
    """A thermometer that loses its shield."""

    def faults(values: Measured, seconds: Seconds) -> None:
        truth = weather(seed, begin, days)[2]
        sun, wind = truth["irradiance"][0], truth["wind_speed"][0]
        values["air_temperature"][0] += np.where(seconds > start, radiation_error(sun, wind, bare=True), 0.0)

    return faults


def chimney(values: Measured, seconds: Seconds) -> None:
    """Something 8 degrees wide to the south-west; behind it a quarter of the light, that of the sky, is left."""
    _, azimuth = solar_position(seconds - 300, 47.31, 8.91)
    values["irradiance"][0] *= np.where(np.abs(azimuth - 230) < 4, 0.25, 1.0)


def dirt(start: int) -> Faults:
    def faults(values: Measured, seconds: Seconds) -> None:
        values["irradiance"][0] *= np.where(seconds > start, 0.7, 1.0)

    return faults


def only(findings: list[Finding]) -> Finding:
    (found,) = findings
    return found


@pytest.mark.parametrize(("seed", "begin"), [(100, AUTUMN), (101, WINTER), (102, SPRING), (103, SUMMER)])
def test_nothing_is_found_in_weeks_of_any_weather_where_nothing_is_wrong(seed, begin):
    for record in records(seed, begin, 35):
        for seen in (record, alone(record), without_light(record)):
            assert [found for check in ALL for found in check.look_back(seen)] == []


@pytest.mark.parametrize(("delay", "hint"), [(3600.0, "an hour behind"), (-3600.0, "an hour ahead")])
def test_an_hour_is_found_within_three_days_by_either_way_alone(delay, hint):
    start = epoch(AUTUMN) + 10 * DAY + 50_000
    record = first(110, AUTUMN, 14, since(start, delay))
    for seen in (record, alone(record), without_light(record)):
        found = only(clock.CHECK.look_back(seen))
        assert found.hint.startswith(hint) and len(found.hint) <= 60
        assert_allclose(found.size, delay, rtol=0, atol=600)
        assert abs(found.begins_at - start) < DAY


def test_ten_minutes_are_found_within_two_weeks_and_to_two_minutes():
    start = epoch(SPRING) + 10 * DAY
    found = only(clock.CHECK.look_back(first(111, SPRING, 24, since(start, 600.0))))
    assert_allclose(found.size, 600, rtol=0, atol=120)
    assert abs(found.begins_at - start) < DAY // 2


def test_a_clock_put_right_is_right_from_then_on():
    start = epoch(SUMMER) + 8 * DAY
    hour = behind(lambda s: np.where((s > start) & (s <= start + 6 * DAY), 3600.0, 0.0))
    found = only(clock.CHECK.look_back(first(112, SUMMER, 25, hour)))
    assert abs(found.ends_at - start - 6 * DAY) < DAY // 4


def test_a_clock_that_loses_two_minutes_a_day_is_said_to_lose_more_each_day():
    start = epoch(AUTUMN) + 5 * DAY
    losing = behind(lambda s: 120.0 * np.maximum(s - start, 0) / DAY)
    found = clock.CHECK.look_back(first(113, AUTUMN, 30, losing))
    assert found[-1].size > found[0].size > 0
    assert "more each day" in found[-1].hint
    assert all(one.ends_at <= other.begins_at for one, other in pairwise(found))
    # Ten days in it is off by 20 minutes, the last days by 50.
    assert any(each.begins_at <= start + 10 * DAY < each.ends_at for each in found)


def test_a_sensor_of_relative_light_tells_the_time_too():
    record = alone(first(114, AUTUMN, 16, since(epoch(AUTUMN) + 10 * DAY, 3600.0)))
    level = np.log1p(120 * record.values["irradiance"]) / np.log1p(120_000)
    found = only(clock.CHECK.look_back(replace(record, values={"light_level": level})))
    assert_allclose(found.size, 3600, rtol=0, atol=600)


@pytest.mark.parametrize("seed_and_begin", [(115, AUTUMN), (116, WINTER), (117, SUMMER)])
def test_a_missing_shield_is_found_in_any_season_and_is_no_wrong_clock(seed_and_begin):
    seed, begin = seed_and_begin
    start = epoch(begin) + 10 * DAY
    record = first(seed, begin, 20, bare(seed, begin, 20, start))
    found = only([found for check in ALL for found in check.look_back(record)])
    assert found.check == "daytime_bias"
    # 8 K without a shield in full sun and calm air (common practice), beside what its wall and louvres did before.
    assert_allclose(found.size, 8.0, rtol=0, atol=2.0)
    assert abs(found.begins_at - start) < 2 * DAY


def test_a_wrong_clock_is_no_missing_shield():
    for delay in (3600.0, -3600.0):
        record = first(118, SUMMER, 20, since(epoch(SUMMER) + 8 * DAY, delay))
        assert daytime_bias.CHECK.look_back(record) == []


def test_only_readings_in_sunshine_and_calm_are_in_doubt_for_want_of_a_shield():
    seconds = 600 * np.arange(1, 5, dtype=np.int64)
    window = Window(
        station=1, seconds=seconds,
        values={
            "air_temperature": np.array([290.0, 298.0, 292.0, np.nan]),
            "irradiance": np.array([0.0, 800.0, 800.0, 800.0]),
            "wind_speed": np.array([0.0, 0.0, 27.0, 0.0]),
        },
        elevation=450.0, latitude=47.3, longitude=8.9, report_every=600.0, ranges={}, resolution={}, noise={},
        sun_elevation=np.zeros(4), clear_sky=np.zeros(4), repeated={}, overrides={},
        findings=[Finding("daytime_bias", "air_temperature", 0, 2400, 2.0, 8.0, 0.5)],
    )  # fmt: skip
    (seen,) = daytime_bias.CHECK.look(window)
    assert seen.speaks().tolist() == [False, True, False, False]
    assert_allclose(np.asarray(seen.expected)[1], 290.0)


@pytest.mark.parametrize(("seed", "begin"), [(119, AUTUMN), (120, WINTER), (121, SUMMER)])
def test_a_chimney_is_found_where_it_stands_with_and_without_neighbours(seed, begin):
    record = first(seed, begin, 35, chimney)
    for seen in (record, alone(record)):
        found = shaded.CHECK.look_back(seen)
        assert found and {each.hint.split()[-1] for each in found} == {"south-west"}
        assert_allclose(found[0].size, 0.75, rtol=0, atol=0.12)
        inside = np.zeros(record.seconds.size, bool)
        for each in found:
            inside |= (record.seconds > each.begins_at) & (record.seconds <= each.ends_at)
        assert (np.abs(record.sun_azimuth[inside] - 230) < 8).all()
        assert clock.CHECK.look_back(seen) == light_loss.CHECK.look_back(seen) == []


def test_the_skyline_of_a_station_shows_what_stands_before_it():
    record = first(122, SUMMER, 35, chimney)
    line = shaded.skyline_of(record, shaded.CHECK.thresholds)
    up = record.sun_elevation[np.abs(record.sun_azimuth - 230) < 2.5].max()
    (there,) = line.elevation[(line.azimuth > 228) & (line.azimuth < 233)]
    assert_allclose(there, up, rtol=0, atol=2.0)
    assert np.nanmax(line.elevation[np.abs(line.azimuth - 230) > 10]) < 5.0


@pytest.mark.parametrize(("seed", "begin"), [(123, WINTER), (124, SUMMER)])
def test_a_sensor_that_grows_dirty_is_found_from_that_day_with_its_loss(seed, begin):
    start = epoch(begin) + 10 * DAY
    found = only(light_loss.CHECK.look_back(first(seed, begin, 25, dirt(start))))
    assert_allclose(found.size, 0.3, rtol=0, atol=0.06)
    assert abs(found.begins_at - start) < 2 * DAY


def test_of_a_station_that_has_nothing_or_hardly_anything_nothing_is_said():
    record = first(125, AUTUMN, 1)
    empty = {name: np.full(record.seconds.shape, np.nan) for name in record.values}
    short = {name: value[:1] for name, value in record.values.items()}
    parts = {n: getattr(record, n)[:1] for n in ("seconds", "sun_elevation", "sun_azimuth", "clear_sky")}
    for seen in (
        record,
        replace(record, values={}),
        alone(replace(record, values=empty)),
        replace(record, values=empty, expected=empty, departures=empty, around=empty),
        replace(alone(record), values=short, **parts),
    ):
        assert [found for check in ALL for found in check.look_back(seen)] == []
