"""What a station's own instruments and variables say of each other.

The consistency rules are those of Zahumenský (2004), read second-hand; the rest is common practice. Every
series is constructed so that its answer is known beforehand.
"""

import numpy as np
import pytest

from network.quality.register import look_alone
from network.quality.verdict import DOUBTFUL, GOOD, WRONG, decide, reasons_of
from network.science.pressure import standard_atmosphere_pressure
from tests.quality.windows import celsius, seen_by, verdicts, window


def test_a_thermometer_that_ends_at_zero_is_censored_there_and_nowhere_else():
    station = window(
        {"air_temperature": celsius(0.3, 0.1, 0.0, 0.0, -0.1, 0.2)},
        ranges={"air_temperature": (273.15, 323.15)},
        resolution={"air_temperature": 0.1},
    )
    assert list(verdicts(station)["air_temperature"]) == [GOOD, GOOD, WRONG, WRONG, WRONG, GOOD]


def test_saturated_air_a_calm_a_dry_hour_and_the_dark_are_no_range_ends():
    station = window(
        {
            "relative_humidity": [1.0, 1.0],
            "wind_speed": [0.0, 0.0],
            "rain_amount": [0.0, 0.0],
            "irradiance": [0.0, 0.0],
        },
        ranges={
            "relative_humidity": (0.0, 1.0),
            "wind_speed": (0.0, 40.0),
            "rain_amount": (0.0, 30.0),
            "irradiance": (0.0, 1500.0),
        },
    )
    assert all((found == GOOD).all() for found in verdicts(station).values())


def test_a_hygrometer_that_ends_at_ninety_per_cent_is_censored_there():
    station = window(
        {"relative_humidity": [0.89, 0.90]},
        ranges={"relative_humidity": (0.2, 0.9)},
        resolution={"relative_humidity": 0.01},
    )
    assert list(verdicts(station)["relative_humidity"]) == [GOOD, WRONG]


def test_a_low_battery_puts_its_sensors_in_doubt_but_not_itself():
    # Common practice: a 12 V lead-acid battery is disconnected at about 11 V.
    found = verdicts(
        window({"air_temperature": celsius(9, 9.2, 9.1, 9.3), "battery_voltage": [12.6, 12.2, 12.0, 10.6]})
    )
    assert list(found["air_temperature"]) == [GOOD, GOOD, GOOD, DOUBTFUL]
    assert (found["battery_voltage"] == GOOD).all()


def test_a_cell_and_a_station_with_its_own_threshold():
    cell = {"air_temperature": celsius(9, 9.2), "battery_voltage": [3.9, 3.0]}
    assert list(verdicts(window(cell))["air_temperature"]) == [GOOD, DOUBTFUL]
    own = window(cell, overrides={"supply": {"lowest": 2.5}})
    assert (verdicts(own)["air_temperature"] == GOOD).all()


def test_a_battery_that_is_described_is_held_to_its_own_kind():
    # Common practice: a lithium-ion cell is empty at 3.0 V, one of iron phosphate at 2.5 V.
    cell = {"air_temperature": celsius(9, 9.2), "battery_voltage": [3.3, 3.0]}
    assert list(verdicts(window(cell, battery="one LiFePO4 cell"))["air_temperature"]) == [GOOD, GOOD]
    assert list(verdicts(window(cell, battery="Li-ion cell"))["air_temperature"]) == [GOOD, DOUBTFUL]


@pytest.mark.parametrize(
    ("check", "blamed", "values", "speaks"),
    [
        ("gust_below_mean", "wind_gust", {"wind_speed": [4.0, 4.0], "wind_gust": [3.0, 6.0]}, [True, False]),
        ("gust_below_mean", "wind_speed", {"wind_speed": [4.0, 4.0], "wind_gust": [3.0, 3.8]}, [True, False]),
        ("humidity_above_100", "relative_humidity", {"relative_humidity": [1.04, 1.01]}, [True, False]),
        (
            "dew_point_above_temperature",
            "dew_point",
            {"dew_point": celsius(15.2, 15.1), "air_temperature": celsius(15.0, 15.0)},
            [True, False],
        ),
        (
            "rain_in_dry_air",
            "rain_amount",
            {"rain_amount": [0.2, 0.2, 0.0], "relative_humidity": [0.35, 0.8, 0.35]},
            [True, False, False],
        ),
    ],
)
def test_variables_that_contradict_each_other(check, blamed, values, speaks):
    assert list(seen_by(check, look_alone(window(values)), blamed).speaks()) == speaks


def test_light_is_asked_at_night_only_well_after_sunset():
    station = window({"irradiance": [60.0, 60.0]}, sun_elevation=np.array([-3.0, -7.0]))
    seen = seen_by("light_at_night", look_alone(station), "irradiance")
    assert np.isnan(seen.strain[0]) and seen.speaks()[1]


@pytest.mark.parametrize(("readings", "fails"), [(1, False), (2, False), (3, True)])
def test_the_edge_of_a_cloud_may_outshine_a_clear_sky_for_ten_minutes(readings: int, fails: bool):
    light = np.full(12, 480.0)
    light[5 : 5 + readings] = 900.0  # under a clear sky of 500 W/m2
    seen = seen_by("light_above_clear_sky", look_alone(window({"irradiance": light})), "irradiance")
    assert list(np.flatnonzero(seen.speaks())) == (list(range(5, 5 + readings)) if fails else [])


def test_a_sea_level_pressure_sent_from_a_hill_is_noticed():
    here = float(standard_atmosphere_pressure(600.0))  # ISO 2533: 943 hPa
    station = window({"station_pressure": [here, here + 500, 101325.0]}, every=21600, elevation=600.0)
    evidence = look_alone(station)
    seen = seen_by("pressure_for_elevation", evidence, "station_pressure")
    assert list(seen.speaks()) == [False, False, True]
    assert "pressure_for_elevation" in reasons_of(decide(station, evidence)["station_pressure"][2])


def test_in_the_valley_the_two_pressures_cannot_be_told_apart_and_the_check_is_silent():
    looked = look_alone(window({"station_pressure": [101325.0]}, elevation=100.0))
    assert "pressure_for_elevation" not in {seen.check for seen in looked}


def test_two_values_for_one_instant_are_doubtful():
    station = window(
        {"air_temperature": celsius(9, 9.2)}, repeated={"air_temperature": np.array([False, True])}
    )
    assert list(verdicts(station)["air_temperature"]) == [GOOD, DOUBTFUL]


def test_a_jittering_sensor_is_told_from_a_single_spike():
    chance = np.random.default_rng(3)
    smooth = 283.15 + np.sin(np.arange(60) / 10)
    spiked = smooth.copy()
    spiked[30] += 15.0
    for series, fails in ((smooth + chance.normal(0, 3.0, 60), True), (spiked, False), (smooth, False)):
        seen = seen_by("noise", look_alone(window({"air_temperature": series})), "air_temperature")
        assert seen.speaks()[20:].mean() > 0.8 if fails else not seen.speaks().any()


def test_a_thermometer_of_which_only_the_lower_end_is_known_is_censored_there():
    # Common practice: a cheap humidity-temperature sensor that ends at 0 °C reads 0 all night.
    frost = {"air_temperature": celsius(0.0, 1.0)}
    station = window(frost, ranges={"air_temperature": (273.15, np.inf)}, resolution={"air_temperature": 0.1})
    assert list(verdicts(station)["air_temperature"]) == [WRONG, GOOD]
