"""Comfort indices against the charts of the weather services."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science import comfort
from network.science.constants import ZERO_CELSIUS
from network.science.units import convert
from tests.published import comforts


@pytest.mark.parametrize(("speed", "expected"), comforts.WIND_CHILL.items())
def test_wind_chill_agrees_with_the_metric_table(speed, expected):
    found = comfort.wind_chill(convert(comforts.WIND_CHILL_AT, "Cel", "K"), convert(speed, "km/h", "m/s"))
    assert_allclose(found - ZERO_CELSIUS, expected, rtol=0, atol=0.01)


@pytest.mark.parametrize(("fahrenheit", "expected"), comforts.WIND_CHILL_CHART.items())
def test_wind_chill_rounds_to_the_chart_of_the_weather_service(fahrenheit, expected):
    # The metric and the imperial form differ by up to 0.03 °F.
    speeds = convert(comforts.WIND_CHILL_CHART_AT, "mph", "m/s")
    found = convert(comfort.wind_chill(convert(fahrenheit, "F", "K"), speeds), "K", "F")
    assert_allclose(found, expected, rtol=0, atol=0.53)


def test_wind_chill_is_silent_outside_its_range():
    assert np.isnan(comfort.wind_chill([283.16, 270.0, np.nan], [5.0, 4.8 / 3.6, 5.0])).all()
    assert np.isfinite(comfort.wind_chill(283.15, 5.0))


def heat_index_in_fahrenheit(fahrenheit, percent):
    return convert(comfort.heat_index(convert(fahrenheit, "F", "K"), np.asarray(percent) / 100), "K", "F")


def test_heat_index_agrees_with_the_equation_of_the_weather_service():
    fahrenheit, percent, expected = np.array(comforts.HEAT_INDEX).T
    assert_allclose(heat_index_in_fahrenheit(fahrenheit, percent), expected, rtol=0, atol=0.02)


def test_heat_index_agrees_with_the_metric_table():
    celsius, percent, expected = np.array(comforts.HEAT_INDEX_METRIC).T
    found = comfort.heat_index(celsius + ZERO_CELSIUS, percent / 100)
    assert_allclose(found - ZERO_CELSIUS, expected, rtol=0, atol=0.02)


def test_heat_index_rounds_to_the_chart_of_the_weather_service():
    fahrenheit, percent, expected = np.array(comforts.HEAT_INDEX_CHART).T
    assert_allclose(heat_index_in_fahrenheit(fahrenheit, percent), expected, rtol=0, atol=0.51)


def test_heat_index_is_silent_outside_its_range():
    assert np.isnan(heat_index_in_fahrenheit([79.0, 113.0, 90.0, 90.0], [50, 20, 101, np.nan])).all()


def test_apparent_temperature_agrees_with_the_table():
    celsius, percent, speed, expected = np.array(comforts.APPARENT).T
    found = comfort.apparent_temperature(celsius + ZERO_CELSIUS, percent / 100, speed)
    assert_allclose(found - ZERO_CELSIUS, expected, rtol=0, atol=0.01)
