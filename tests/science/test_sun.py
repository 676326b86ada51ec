"""The sun against NREL's worked example, NOAA's series and FAO-56."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science import sun
from tests.published import suns


def epoch(text):
    return np.datetime64(text, "s").astype(np.int64)


def test_the_sun_stands_where_the_nrel_example_says():
    elevation, azimuth = sun.solar_position(epoch(suns.EXAMPLE_TIME), *suns.EXAMPLE_PLACE)
    assert_allclose(elevation, suns.EXAMPLE_ELEVATION, rtol=0, atol=1e-4)
    assert_allclose(azimuth, suns.EXAMPLE_AZIMUTH, rtol=0, atol=1e-4)


def test_times_and_places_meet_in_shape_and_missing_ones_stay_missing():
    times = np.array([[epoch(suns.EXAMPLE_TIME)], [np.nan]], dtype=np.float64)
    elevation, azimuth = sun.solar_position(
        times, [suns.EXAMPLE_PLACE[0], 47.0], [suns.EXAMPLE_PLACE[1], 8.0]
    )
    assert elevation.shape == azimuth.shape == (2, 2)
    assert_allclose(elevation[0, 0], suns.EXAMPLE_ELEVATION, atol=1e-4)
    assert np.isnan(elevation[1]).all()


@pytest.mark.parametrize(("date", "latitude", "longitude", "rise", "set_"), suns.NOAA_RISE_AND_SET)
def test_sunrise_and_sunset_agree_with_noaa(date, latitude, longitude, rise, set_):
    found = sun.sunrise_sunset(epoch(date) + 40000, latitude, longitude)
    assert_allclose((np.array(found) - epoch(date)) / 60, [rise, set_], rtol=0, atol=2.5)


def test_the_sun_at_sunrise_stands_just_below_the_horizon():
    # 0.833 degrees: refraction and the sun's radius (NOAA, read).
    rise, set_ = sun.sunrise_sunset(epoch("2026-04-10"), 47.0, 8.0)
    assert_allclose(sun.solar_position([rise, set_], 47.0, 8.0)[0], -0.833, rtol=0, atol=0.02)


@pytest.mark.parametrize("date", ["2026-06-21", "2026-12-21"])
def test_beyond_the_polar_circle_the_sun_may_neither_rise_nor_set(date):
    assert np.isnan(sun.sunrise_sunset(epoch(date), 70.0, 25.0)).all()


def test_clear_sky_irradiance_agrees_with_haurwitz():
    elevation, expected = np.array(suns.HAURWITZ).T
    assert_allclose(sun.clear_sky_irradiance(elevation), expected, rtol=0, atol=0.01)
    assert np.isnan(sun.clear_sky_irradiance(np.nan))


@pytest.mark.parametrize(("date", "expected"), suns.FAO_DISTANCE)
def test_the_suns_distance_agrees_with_fao(date, expected):
    assert_allclose(sun.inverse_relative_distance(epoch(date)), expected, rtol=0, atol=0.0006)


@pytest.mark.parametrize(("latitude", "date", "expected"), suns.FAO_DAILY)
def test_a_day_of_extraterrestrial_light_agrees_with_the_fao_examples(latitude, date, expected):
    # FAO's low-order equations stay within about one per cent of rigorous astronomy, and its solar constant
    # is 0.4 per cent larger than the newer one here.
    seconds = epoch(date) + np.arange(0, 86400, 300)
    elevation, _ = sun.solar_position(seconds, latitude, 0.0)
    total = sun.extraterrestrial_horizontal(seconds, elevation).sum() * 300 / 1e6
    assert_allclose(total, expected, rtol=0.015)
