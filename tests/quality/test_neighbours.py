"""What the neighbours say: of single readings, of rests, of units, of rain and of rotors.

Expected values are laid down by hand, so what each check must answer is known beforehand.
"""

import numpy as np
import pytest

from network.quality.register import look_at_neighbours
from network.quality.verdict import DOUBTFUL, GOOD, WRONG
from tests.quality.windows import celsius, seen_by, verdicts, window

HOURS = 12  # five-minute readings in one


def test_the_band_of_the_spatial_regression_test():
    # Hubbard et al. (2005), read second-hand, on constructed numbers computed independently: the estimate is
    # 15.552758 with standard error 0.583593; with f = 3 values from 13.802 to 17.304 pass.
    readings = celsius(13.80, 13.81, 17.30, 17.31)
    n = len(readings)
    station = window(
        {"air_temperature": readings},
        noise={"air_temperature": 0.0},
        overrides={"departure": {"air_temperature": 0.0}},
    )
    expected = {"air_temperature": (celsius(*[15.552758] * n), np.full(n, 0.583593))}
    seen = seen_by("departure", look_at_neighbours(station, expected), "air_temperature")
    assert list(seen.speaks()) == [True, False, False, True]


def test_without_an_estimate_the_neighbours_say_nothing():
    station = window({"air_temperature": celsius(10, 40)})
    nothing = {"air_temperature": (np.full(2, np.nan), np.full(2, np.nan))}
    assert all(np.isnan(seen.strain).all() for seen in look_at_neighbours(station, nothing))


def test_wind_directions_are_compared_round_the_circle():
    station = window({"wind_from_direction": [355.0, 355.0, 355.0], "wind_speed": [5.0, 5.0, 1.0]})
    expected = {"wind_from_direction": (np.array([5.0, 175.0, 175.0]), np.full(3, 10.0))}
    seen = seen_by("departure", look_at_neighbours(station, expected), "wind_from_direction")
    assert list(seen.speaks()) == [False, True, False]  # a light breeze comes from anywhere


def test_pressure_at_sea_level_tells_of_the_barometer_and_the_dew_point_of_the_hygrometer():
    station = window(
        {
            "station_pressure": [96000.0, 95000.0],
            "sea_level_pressure": [101500.0, 100443.0],
            "air_temperature": celsius(20, 20),
            "relative_humidity": [0.50, 0.90],
            "dew_point": celsius(9.26, 18.3),  # Magnus, WMO-No. 8: 20 °C and 50 % give 9.26 °C
        }
    )
    expected = {
        "sea_level_pressure": (np.full(2, 101500.0), np.full(2, 30.0)),
        "dew_point": (celsius(9.26, 9.26), np.full(2, 0.5)),
    }
    looked = look_at_neighbours(station, expected)
    for variable, value in (("station_pressure", 96000.0), ("relative_humidity", 0.50)):
        seen = seen_by("departure", looked, variable)
        assert list(seen.speaks()) == [False, True]
        assert np.asarray(seen.expected) == pytest.approx(value, rel=2e-3)


def test_resting_alone_is_wrong_and_resting_together_is_fog():
    n = 6 * HOURS
    station = window({"air_temperature": np.full(n, 282.15)})
    falling, foggy = 283.65 - np.arange(n) * 3.0 / n, 282.15 + 0.1 * np.sin(np.arange(n))
    for others, verdict in ((falling, WRONG), (foggy, GOOD)):
        expected = {"air_temperature": (others, np.full(n, 0.3))}
        assert (verdicts(station, expected)["air_temperature"] == verdict).all()
    assert (verdicts(station)["air_temperature"] == DOUBTFUL).all()


@pytest.mark.parametrize(
    ("variable", "truth", "factor", "plus", "unit"),
    [
        # Definitions of the units (from memory; exact): sent in the unit named, read as the catalogue's.
        ("air_temperature", 288.15, 1.8, 273.15 + 32 - 1.8 * 273.15, "°F"),
        ("wind_speed", 4.0, 1 / 0.44704, 0.0, "mph"),
        ("wind_speed", 4.0, 3.6, 0.0, "km/h"),
        ("wind_speed", 4.0, 3600 / 1852, 0.0, "kn"),
        ("station_pressure", 96000.0, 1 / 33.86389, 0.0, "inHg"),
        ("station_pressure", 96000.0, 101500 / 96000, 0.0, "reduced to sea level"),
    ],
)
def test_a_unit_mix_up_is_named(variable: str, truth: float, factor: float, plus: float, unit: str):
    n = 24 * HOURS
    day = np.sin(np.arange(n) * 2 * np.pi / n)
    amplitude = {"air_temperature": 6.0, "wind_speed": 2.0, "station_pressure": 400.0}[variable]
    true = truth + amplitude * day
    values = {variable: true * factor + plus}
    expected = {variable: (true, np.full(n, 0.5))}
    if variable == "station_pressure":
        at_sea_level = 101500 / 96000
        values["sea_level_pressure"] = values[variable] * at_sea_level
        expected = {"sea_level_pressure": (true * at_sea_level, np.full(n, 50.0))}
    station = window(values)
    seen = seen_by("unit_hypothesis", look_at_neighbours(station, expected), variable)
    assert unit in seen.hint.split(" (")[0]
    assert seen.speaks()[36:].all()
    assert (verdicts(station, expected)[variable][36:] == WRONG).all()


def test_inches_of_rain_are_named():
    n = 24 * HOURS
    rain = np.where(np.arange(n) % 12 < 6, 0.4, 0.0)
    station = window({"rain_amount": rain / 25.4})
    looked = look_at_neighbours(station, {"rain_amount": (rain, np.full(n, 0.1))})
    seen = seen_by("unit_hypothesis", looked, "rain_amount")
    assert seen.hint.startswith("in ") and seen.speaks()[-HOURS:].all()


def test_numbers_in_their_own_unit_need_no_other():
    n = 24 * HOURS
    wind = 4 + 2 * np.sin(np.arange(n) / 40) + np.random.default_rng(5).normal(0, 1.0, n)
    station = window({"wind_speed": np.maximum(wind, 0)})
    looked = look_at_neighbours(station, {"wind_speed": (4 + 2 * np.sin(np.arange(n) / 40), np.full(n, 0.8))})
    assert not any(seen.speaks().any() for seen in looked)


def test_a_gauge_that_alone_saw_rain_and_one_that_alone_missed_it():
    n = 8 * HOURS
    shower = np.zeros(n)
    shower[40:58] = 0.6
    dry, error = np.zeros(n), np.full(n, 0.1)
    alone = verdicts(window({"rain_amount": shower}), {"rain_amount": (dry, error)})["rain_amount"]
    assert (alone[shower > 0] != GOOD).any() and (alone[shower == 0] == GOOD).all()
    missed = verdicts(window({"rain_amount": dry}), {"rain_amount": (shower, error)})["rain_amount"]
    assert (missed[50:58] != GOOD).all() and (missed[shower == 0] == GOOD).all()


def test_a_shower_that_comes_half_an_hour_later_is_no_fault():
    n = 8 * HOURS
    here, there = np.zeros(n), np.zeros(n)
    here[40:58], there[46:64] = 0.6, 0.6
    found = verdicts(window({"rain_amount": here}), {"rain_amount": (there, np.full(n, 0.2))})
    assert (found["rain_amount"] == GOOD).all()


def test_a_rotor_that_stands_still_in_a_breeze_is_marked_from_the_beginning_and_a_calm_is_not():
    n = 6 * HOURS
    station = window({"wind_speed": np.zeros(n), "wind_gust": np.zeros(n)})
    for breeze, verdict in ((7.0, WRONG), (0.4, GOOD)):
        found = verdicts(station, {"wind_speed": (np.full(n, breeze), np.full(n, 0.8))})
        assert (found["wind_speed"] == verdict).all() and (found["wind_gust"] == verdict).all()
