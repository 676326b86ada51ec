"""Evapotranspiration against the worked examples of FAO-56."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science import evapotranspiration as fao
from tests.published import evapotranspirations as printed

ZERO = 273.15


@pytest.mark.parametrize("day", printed.WORKED, ids=lambda day: day.place)
def test_a_worked_day_comes_out_as_printed(day: printed.Day) -> None:
    found = fao.reference_evapotranspiration(
        day.low + ZERO,
        day.high + ZERO,
        1000 * day.vapour,
        day.wind,
        day.shortwave,
        latitude=day.latitude,
        elevation=day.elevation,
        day_of_year=day.day_of_year,
        ground_heat=day.ground_heat,
    )
    digits = 0.05 if day.printed == 3.9 else 0.02  # as many as it prints
    assert_allclose(found, day.printed, rtol=0, atol=digits)


@pytest.mark.parametrize("day", printed.WORKED[:2], ids=lambda day: day.place)
def test_net_radiation_comes_out_as_printed(day: printed.Day) -> None:
    found = fao.net_radiation(
        day.low + ZERO,
        day.high + ZERO,
        1000 * day.vapour,
        day.shortwave,
        latitude=day.latitude,
        elevation=day.elevation,
        day_of_year=day.day_of_year,
    )
    assert_allclose(found, day.net, rtol=0.005)


def test_the_building_blocks_come_out_as_printed() -> None:
    pressure = fao.pressure_at(1800)
    assert_allclose(pressure / 1000, printed.PRESSURE_AT_1800_M, atol=0.05)
    assert_allclose(fao.psychrometric_constant(pressure) / 1000, printed.GAMMA_AT_1800_M, atol=0.0005)
    for celsius, kilopascal in printed.SATURATION:
        assert_allclose(fao.saturation(celsius + ZERO) / 1000, kilopascal, atol=0.0005)
    assert_allclose(fao.slope_of_saturation(30.2 + ZERO) / 1000, printed.SLOPE_AT_30_2, atol=0.0005)


def test_humidity_at_the_extremes_gives_the_printed_vapour_pressure() -> None:
    said = printed.VAPOUR_FROM_HUMIDITY
    found = fao.actual_vapour_pressure(
        said["low"] + ZERO, said["high"] + ZERO, said["driest"], said["dampest"]
    )
    assert_allclose(found / 1000, said["kPa"], atol=0.005)


@pytest.mark.parametrize(("latitude", "day", "megajoules"), printed.EXTRATERRESTRIAL)
def test_sunlight_above_the_air_comes_out_as_printed(latitude: float, day: int, megajoules: float) -> None:
    assert_allclose(fao.extraterrestrial(latitude, day), megajoules, atol=0.05)


def test_wind_is_brought_down_to_two_metres_as_printed() -> None:
    assert_allclose(fao.at_two_metres(3.2, 10), printed.WIND_3_2_AT_10_M, atol=0.05)
    assert_allclose(fao.at_two_metres(1, 10), printed.FROM_10_M, atol=1e-5)
    assert np.isnan(fao.at_two_metres(3.0, 0.1))


def test_what_is_missing_leaves_the_day_without_a_figure() -> None:
    days = np.array([[280.0, 290.0, 900.0, 2.0, 20.0]] * 5)
    np.fill_diagonal(days, np.nan)
    found = fao.reference_evapotranspiration(*days.T, latitude=47.0, elevation=500.0, day_of_year=172)
    assert np.isnan(found).all()
