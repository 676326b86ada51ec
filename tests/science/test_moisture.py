"""Humidity against computed tables of WMO-No. 8, FAO-56, psychrolib and MetPy."""

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from network.science import moisture
from network.science.constants import ZERO_CELSIUS
from tests.published import humidity

PRESSURE = 101325.0


def column(index):
    return np.array([row[index] for row in humidity.MOIST_AIR], dtype=np.float64)


T, U = column(0) + ZERO_CELSIUS, column(1) / 100


@pytest.fixture(autouse=True)
def si_units():
    psychrolib.SetUnitSystem(psychrolib.SI)


def test_saturation_agrees_with_the_table():
    assert_allclose(moisture.saturation_vapour_pressure(T), column(2) * 100, rtol=0, atol=0.1)


def test_saturation_over_ice_agrees_with_the_table_and_ends_at_zero():
    assert_allclose(moisture.saturation_vapour_pressure_over_ice(T), column(3) * 100, rtol=0, atol=0.1)


def test_saturation_agrees_with_fao_examples():
    celsius, kilopascal = np.array(humidity.FAO_SATURATION).T
    found = moisture.saturation_vapour_pressure(celsius + ZERO_CELSIUS)
    assert_allclose(found, kilopascal * 1000, rtol=0.005)


def test_vapour_pressure_agrees_with_the_table():
    assert_allclose(moisture.vapour_pressure(T, U), column(4) * 100, rtol=0, atol=0.1)


def test_dew_point_agrees_with_the_table():
    assert_allclose(moisture.dew_point(T, U) - ZERO_CELSIUS, column(5), rtol=0, atol=0.01)


def test_frost_point_agrees_with_the_table():
    frosty = np.isfinite(column(6))
    assert_allclose(moisture.frost_point(T, U)[frosty] - ZERO_CELSIUS, column(6)[frosty], rtol=0, atol=0.01)


def test_wet_bulb_agrees_with_the_table():
    assert_allclose(moisture.wet_bulb(T, U, PRESSURE) - ZERO_CELSIUS, column(7), rtol=0, atol=0.02)


def test_mixing_ratio_agrees_with_the_table():
    assert_allclose(moisture.mixing_ratio(T, U, PRESSURE) * 1000, column(8), rtol=0, atol=0.002)


def test_absolute_humidity_agrees_with_the_table():
    celsius, percent, grams = np.array(humidity.ABSOLUTE).T
    found = moisture.absolute_humidity(celsius + ZERO_CELSIUS, percent / 100)
    assert_allclose(found * 1000, grams, rtol=0, atol=0.01)


def test_virtual_temperature_agrees_with_a_computed_value():
    # 25 °C, 60 %, 1013.25 hPa: 27.12 °C (computed from T / (1 - 0.378 e/p)).
    found = moisture.virtual_temperature(298.15, 0.6, PRESSURE)
    assert_allclose(found - ZERO_CELSIUS, 27.12, rtol=0, atol=0.05)


def test_a_mixing_ratio_of_a_thousandth_is_the_humidity_others_publish():
    # A public check value that cites Annex 4.B (read second-hand): 1000 hPa, 10 °C, r = 0.001 is 13.0316 %.
    assert_allclose(moisture.mixing_ratio(283.15, 0.130316, 100000.0), 0.001, rtol=2e-5)


def test_a_psychrometer_reads_the_humidity_of_the_table():
    dry, wet, frozen, percent = np.array(humidity.PSYCHROMETER, dtype=np.float64).T
    found = moisture.relative_humidity_from_wet_bulb(
        dry + ZERO_CELSIUS, wet + ZERO_CELSIUS, PRESSURE, frozen.astype(bool)
    )
    assert_allclose(found * 100, percent, rtol=0, atol=0.05)


@pytest.mark.parametrize(("celsius", "percent"), [(t, u) for t, u, *_ in humidity.MOIST_AIR if t > 0])
def test_psychrolib_has_the_same_dew_point_and_wet_bulb_above_zero(celsius, percent):
    # Cross-formula tolerances: wet bulbs differ by up to 0.1 °C below 30 °C and 0.25 °C from there on; psychrolib
    # takes saturation over ice below 0 °C, so dew points are compared where both are over water.
    kelvin, share = celsius + ZERO_CELSIUS, percent / 100
    dew = moisture.dew_point(kelvin, share) - ZERO_CELSIUS
    if dew > 0:
        assert_allclose(psychrolib.GetTDewPointFromRelHum(celsius, share), dew, rtol=0, atol=0.1)
    other = psychrolib.GetTWetBulbFromRelHum(celsius, share, PRESSURE)
    ours = moisture.wet_bulb(kelvin, share, PRESSURE) - ZERO_CELSIUS
    assert_allclose(ours, other, rtol=0, atol=0.1 if celsius < 30 else 0.25)


def test_metpy_has_the_same_saturation_and_dew_point():
    calc = pytest.importorskip("metpy.calc")
    units = pytest.importorskip("metpy.units").units
    theirs = calc.saturation_vapor_pressure(units.Quantity(T, "K")).to("Pa").magnitude
    assert_allclose(moisture.saturation_vapour_pressure(T), theirs, rtol=0.005)
    dew = (
        calc.dewpoint_from_relative_humidity(units.Quantity(T, "K"), units.Quantity(U, "")).to("K").magnitude
    )
    assert_allclose(moisture.dew_point(T, U), dew, rtol=0, atol=0.1)


def test_a_sensor_above_a_hundred_per_cent_gives_a_dew_point_at_the_air_temperature():
    assert_allclose(moisture.dew_point(280.0, 1.04), 280.0)


@pytest.mark.parametrize("humidity", [0.0, -0.02, np.nan])
def test_air_without_vapour_has_no_dew_point(humidity):
    assert np.isnan(moisture.dew_point(290.0, humidity))
    assert np.isnan(moisture.frost_point(290.0, humidity))


def test_a_temperature_that_cannot_be_gives_nothing_rather_than_a_wild_number():
    assert np.isnan(moisture.saturation_vapour_pressure([20.0, 30.03, np.nan])).all()


@given(st.floats(-50, 55), st.floats(0.01, 1.0), st.floats(50000, 110000))
def test_the_wet_bulb_lies_between_dew_point_and_air_and_gives_the_humidity_back(celsius, humidity, pressure):
    kelvin = celsius + ZERO_CELSIUS
    wet = moisture.wet_bulb(kelvin, humidity, pressure)
    assert moisture.dew_point(kelvin, humidity) - 1e-6 <= wet <= kelvin + 1e-6
    assert_allclose(moisture.relative_humidity_from_wet_bulb(kelvin, wet, pressure), humidity, atol=1e-9)


def test_arguments_of_different_shapes_meet():
    assert moisture.wet_bulb(np.full((3, 1), 290.0), np.full(4, 0.5), PRESSURE).shape == (3, 4)
