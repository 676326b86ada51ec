"""Pressure against computed reductions, the standard atmosphere and code table 0200."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from network.science import moisture, pressure
from network.science.constants import ZERO_CELSIUS
from tests.published import pressures

PS, H, T, U, E, P0, QNH = np.array(pressures.REDUCTIONS, dtype=np.float64).T


def test_reduction_to_sea_level_agrees_with_the_table():
    found = pressure.sea_level_pressure(PS * 100, H, T + ZERO_CELSIUS, E * 100)
    assert_allclose(found, P0 * 100, rtol=0, atol=2.0)


def test_reduction_from_the_stations_own_humidity_agrees_with_the_table():
    vapour = moisture.vapour_pressure(T + ZERO_CELSIUS, U / 100)
    found = pressure.sea_level_pressure(PS * 100, H, T + ZERO_CELSIUS, vapour)
    assert_allclose(found, P0 * 100, rtol=0, atol=2.0)


def test_reduction_of_a_low_station_agrees_with_the_low_station_form():
    # ps = 1010 hPa at 25 m with a virtual temperature of 288.15 K: 1012.99 hPa (form from memory; computed).
    assert_allclose(pressure.sea_level_pressure(101000, 25, 288.15, 0.0), 101299, rtol=0, atol=2.0)


def test_without_temperature_or_humidity_there_is_no_sea_level_pressure():
    found = pressure.sea_level_pressure([1e5, 1e5, np.nan], 100, [np.nan, 280, 280], [800, np.nan, 800])
    assert np.isnan(found).all()


def test_standard_atmosphere_agrees_with_the_table():
    height, hectopascal = np.array(pressures.STANDARD_ATMOSPHERE).T
    assert_allclose(pressure.standard_atmosphere_pressure(height), hectopascal * 100, rtol=0, atol=1.0)
    assert_allclose(pressure.standard_atmosphere_elevation(hectopascal * 100), height, rtol=0, atol=0.1)


def test_metpy_has_the_same_standard_atmosphere():
    # It takes 288 K and R = 287.0475, so it differs by up to 0.1 hPa below 1500 m.
    calc = pytest.importorskip("metpy.calc")
    units = pytest.importorskip("metpy.units").units
    height = np.array([0.0, 100.0, 500.0, 1500.0])
    theirs = calc.height_to_pressure_std(units.Quantity(height, "m")).to("Pa").magnitude
    assert_allclose(pressure.standard_atmosphere_pressure(height), theirs, rtol=0, atol=10.0)


def test_an_altimeter_setting_gives_back_the_station_pressure_of_the_table():
    assert_allclose(pressure.station_pressure_from_altimeter(QNH * 100, H), PS * 100, rtol=0, atol=2.0)


@given(st.floats(-400, 5000))
def test_the_standard_atmosphere_is_read_the_same_both_ways(elevation):
    found = pressure.standard_atmosphere_elevation(pressure.standard_atmosphere_pressure(elevation))
    assert_allclose(found, elevation, rtol=0, atol=1e-6)


def test_tendency_is_the_change_since_three_hours_ago():
    # Constructed: a fall of 10 Pa every five minutes is 360 Pa in three hours.
    seconds = np.arange(0, 6 * 3600, 300)
    falling = 101000.0 - 10.0 * np.arange(len(seconds))
    found = pressure.tendency(seconds, falling)
    assert_allclose(found[seconds >= 10800], -360.0)
    assert np.isnan(found[seconds < 10800 - 900]).all()


def test_tendency_takes_a_neighbouring_time_within_a_quarter_of_an_hour_and_no_other():
    assert_allclose(pressure.tendency([0, 10800 + 900], [100000, 100200]), [np.nan, 200])
    assert np.isnan(pressure.tendency([0, 10800 + 901], [100000, 100200])).all()
    assert_allclose(pressure.tendency([0, 600, 11100], [100000, np.nan, 100300])[-1], 300)


def test_tendency_of_nothing_is_nothing():
    assert pressure.tendency([], []).shape == (0,)
    assert np.isnan(pressure.tendency([0, 10800], [np.nan, np.nan])).all()


@pytest.mark.parametrize(("hourly", "code"), pressures.TENDENCIES)
def test_tendency_code_agrees_with_cases_that_leave_no_choice(hourly, code):
    assert pressure.tendency_code(np.array(hourly) * 100) == code


@pytest.mark.parametrize(("hourly", "code"), pressures.TENDENCIES)
def test_tendency_code_is_the_same_from_samples_every_half_hour(hourly, code):
    between = np.interp(np.arange(7) / 2, np.arange(4), hourly)
    assert pressure.tendency_code(between * 100) == code


def test_tendency_code_takes_many_stations_and_leaves_out_those_with_gaps():
    cases = np.array([hourly for hourly, _ in pressures.TENDENCIES]) * 100
    cases[0, 0] = np.nan
    found = pressure.tendency_code(cases)
    assert np.isnan(found[0])
    assert_allclose(found[1:], [code for _, code in pressures.TENDENCIES[1:]])


def test_tendency_code_needs_samples_at_most_an_hour_apart():
    with pytest.raises(ValueError, match="at least 4 pressures"):
        pressure.tendency_code([101000, 101100, 101200])
