"""Limits, steps and persistence against the values printed for them.

The tables of Zahumenský (2004) and WMO-No. 305 (1993) were read second-hand; the worked series are constructed
from them and can be followed by hand.
"""

import numpy as np
import pytest

from network.quality.checks.spike import spike
from network.quality.checks.stuck import rest
from network.quality.register import look_alone
from network.quality.verdict import WRONG
from tests.quality.windows import celsius, seen_by, verdicts, window

# Zahumenský (2004), plausible values: variable, in the catalogue's unit, lowest, highest.
PLAUSIBLE = [
    ("air_temperature", 193.15, 333.15),
    ("dew_point", 193.15, 308.15),
    ("station_pressure", 50000.0, 110000.0),
    ("wind_from_direction", 0.0, 360.0),
    ("wind_speed", 0.0, 75.0),
    ("irradiance", 0.0, 1600.0),
    ("rain_amount", 0.0, 200.0),  # 40 mm a minute, in a report of five
]


@pytest.mark.parametrize(("variable", "low", "high"), PLAUSIBLE)
def test_what_is_not_plausible_is_wrong_on_that_alone(variable: str, low: float, high: float):
    beyond = (high - low) * 0.002
    series = [low - beyond, low + beyond, high - beyond, high + beyond]
    found = verdicts(window({variable: series}, every=86400, report_every=300.0))[variable]
    assert [v == WRONG for v in found] == [True, False, False, True]


@pytest.mark.parametrize(
    ("latitude", "start", "suspect", "sound"),
    [
        # WMO-No. 305, page VI.8: latitude, season, a suspect and a sound air temperature [°C].
        (50.0, "2025-01-15", 36.0, 34.0),
        (50.0, "2025-07-15", 41.0, 39.0),
        (50.0, "2025-07-15", -31.0, -29.0),
        (40.0, "2025-01-15", -31.0, -29.0),
        (40.0, "2025-07-15", -21.0, -19.0),
        (-40.0, "2025-01-15", -21.0, -19.0),  # the southern summer
    ],
)
def test_the_climate_of_latitude_and_season(latitude: float, start: str, suspect: float, sound: float):
    seconds = (np.datetime64(start, "s").astype(np.int64) + np.array([0, 86400])).astype(np.int64)
    station = window({"air_temperature": celsius(suspect, sound)}, latitude=latitude, seconds=seconds)
    speaks = seen_by("climate", look_alone(station), "air_temperature").speaks()
    assert list(speaks) == [True, False]


@pytest.mark.parametrize(
    ("variable", "series", "every", "strain"),
    [
        # Constructed: the change over the limit printed for that time.
        ("air_temperature", [14.3, 18.9], 60, 4.6 / 3),
        ("station_pressure", [101200.0, 101260.0], 60, 0.6 / 0.5),
        ("station_pressure", [101200.0, 101410.0], 60, 2.1 / 0.5),
        ("relative_humidity", [0.60, 0.76], 60, 16 / 10),
        ("air_temperature", [12.0, 16.5], 3600, 4.5 / 4),
        ("air_temperature", [12.0, 19.5], 7200, 7.5 / 7),
        ("air_temperature", [12.0, 20.0], 10800, 8 / 9),
        ("station_pressure", [101200.0, 101850.0], 7200, 6.5 / 6),
        ("wind_speed", [3.0, 14.0], 60, 11 / 10),
        ("irradiance", [100.0, 940.0], 60, 840 / 800),
    ],
)
def test_a_step_is_measured_against_the_limit_of_its_time(variable, series, every, strain):
    values = celsius(*series) if variable == "air_temperature" else series
    seen = seen_by("step", look_alone(window({variable: values}, every)), variable)
    assert seen.strain[1] == pytest.approx(strain, rel=1e-6)
    assert np.isnan(seen.strain[0])


def test_across_more_than_three_hours_a_step_says_nothing():
    seen = seen_by("step", look_alone(window({"air_temperature": celsius(5, 25)}, 10801)), "air_temperature")
    assert np.isnan(seen.strain).all()


def test_a_spike_is_blamed_once_and_its_sum_is_the_printed_form():
    # Constructed: 14.2 14.3 18.9 14.4 °C a minute apart; |x - x(-1)| + |x - x(+1)| = 4.6 + 4.5 = 9.1.
    values = celsius(14.2, 14.3, 18.9, 14.4)
    assert spike(values, np.arange(4) * 60, 1800.0)[2] == pytest.approx(9.1)
    looked = look_alone(window({"air_temperature": values}, 60))
    for check in ("step", "spike"):
        assert list(seen_by(check, looked, "air_temperature").speaks()) == [False, False, True, False]


def test_sixty_one_equal_minutes_fail_persistence_and_sixty_do_not_exceed_it():
    # Zahumenský (2004): at least 0.1 °C within the past 60 minutes.
    for minutes, fails in ((61, True), (60, False)):
        strain = rest(np.full(minutes, 283.15), np.arange(minutes) * 60, 0.1, 3600.0, 60.0, 3600.0)
        assert (strain > 1).all() == fails


def test_a_change_of_exactly_the_least_change_is_movement():
    values = np.tile(celsius(10.0, 10.1), 60)
    assert not (rest(values, np.arange(120) * 60, 0.1, 3600.0, 60.0, 3600.0) > 1).any()


def test_saturated_air_may_rest():
    # Zahumenský (2004): humidity is asked only below 95 %.
    for humidity, fails in ((0.97, False), (0.80, True)):
        seen = seen_by(
            "stuck", look_alone(window({"relative_humidity": [humidity] * 80})), "relative_humidity"
        )
        assert seen.speaks().any() == fails


def test_a_rest_is_marked_from_its_beginning():
    moving = 283.15 + np.arange(40) * 0.2
    values = np.concatenate([moving, np.full(30, 291.15), 291.15 + moving - 283.15 + 0.2])
    seen = seen_by("stuck", look_alone(window({"air_temperature": values})), "air_temperature")
    assert list(np.flatnonzero(seen.speaks())) == list(range(40, 70))


@pytest.mark.parametrize("variable", ["relative_humidity", "air_temperature", "station_pressure"])
def test_a_gap_ends_a_rest(variable: str):
    level = {"relative_humidity": 0.6, "air_temperature": 283.15, "station_pressure": 98000.0}[variable]
    seconds = np.concatenate([np.arange(10) * 300, 43200 + np.arange(10) * 300]).astype(np.int64)
    station = window({variable: np.full(20, level)}, seconds=seconds)
    assert not seen_by("stuck", look_alone(station), variable).speaks().any()


def test_the_error_code_of_a_sensor_does_not_make_its_return_a_step():
    values = celsius(20.0, 20.1, -127.0, 20.2, 20.3)
    found = verdicts(window({"air_temperature": values}))["air_temperature"]
    assert list(found) == [0, 0, WRONG, 0, 0]
