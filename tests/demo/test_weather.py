"""The invented weather keeps the laws of the real one."""

import numpy as np
import pandas as pd
import pytest
from metpy.calc import dewpoint_from_relative_humidity, height_to_pressure_std
from metpy.units import units
from numpy.testing import assert_allclose, assert_array_equal

from network.demo import terrain
from network.demo.weather import Weather
from tests.village import STATIONS, WEATHER, five_minutes, places

WINTER = five_minutes("2026-01-04", 20)
SUMMER = five_minutes("2026-07-04", 20)


@pytest.fixture(scope="module", params=[WINTER, SUMMER], ids=["winter", "summer"])
def seconds(request):
    return request.param


@pytest.fixture(scope="module")
def weather(seconds):
    return STATIONS.truth(seconds)


def test_nothing_is_missing_but_the_direction_of_a_calm(weather):
    for name, values in weather.items():
        missing = np.isnan(values)
        expected = weather["wind_speed"] < 0.1 if name == "wind_from_direction" else np.zeros_like(missing)
        assert_array_equal(missing, expected, err_msg=name)


def test_dew_point_never_exceeds_the_temperature_and_agrees_with_the_humidity(weather):
    # MetPy's dew point (Bolton 1980) as a second opinion.
    assert (weather["dew_point"] <= weather["air_temperature"]).all()
    found = dewpoint_from_relative_humidity(
        weather["air_temperature"] * units.kelvin, weather["relative_humidity"] * units.dimensionless
    )
    assert_allclose(weather["dew_point"], found.to("kelvin").magnitude, atol=0.2)


def test_humidity_stays_between_dry_and_saturated(weather):
    assert weather["relative_humidity"].min() > 0.1
    assert weather["relative_humidity"].max() <= 1.0


def test_sunlight_stays_under_the_clear_sky_and_is_none_at_night(weather, seconds):
    # pvlib's solar position and Haurwitz clear sky, in the middle of the five minutes.
    from pvlib.clearsky import haurwitz
    from pvlib.solarposition import get_solarposition

    middle = pd.to_datetime(seconds - 150, unit="s", utc=True)
    zenith = get_solarposition(middle, terrain.LATITUDE, terrain.LONGITUDE)["zenith"]
    ceiling = haurwitz(zenith)["ghi"].to_numpy()
    assert (weather["irradiance"] <= ceiling + 1.0).all()
    assert (weather["irradiance"][:, zenith > 91.0] == 0.0).all()
    assert weather["irradiance"].max() > 0.9 * ceiling.max()


def test_pressure_falls_with_height_as_in_the_standard_atmosphere(weather):
    # MetPy's standard atmosphere (ICAO), from the pressure at sea level; the air is rarely at its 15 °C.
    share = height_to_pressure_std(STATIONS.elevation * units.metre).to("hPa").magnitude / 1013.25
    assert_allclose(weather["station_pressure"], weather["sea_level_pressure"] * share[:, None], atol=500.0)
    step = weather["station_pressure"][0] - weather["station_pressure"][-1]
    assert_allclose(step, np.mean(weather["sea_level_pressure"]) * (share[0] - share[-1]), rtol=0.12)


def test_gusts_are_at_least_the_mean_wind(weather):
    assert (weather["wind_gust"] >= weather["wind_speed"]).all()


def test_wind_comes_from_above_0_up_to_360_degrees(weather):
    direction = weather["wind_from_direction"][~np.isnan(weather["wind_from_direction"])]
    assert direction.min() > 0.0
    assert direction.max() <= 360.0


def test_rain_falls_only_from_cloud_and_wets_surfaces(weather):
    raining = weather["rain_amount"] > 0.01
    assert raining.any()
    assert weather["cloud_cover"][raining].min() > 0.9
    assert weather["surface_wetness"][weather["rain_amount"] > 0.1].min() > 0.5


def test_showers_wet_one_side_of_the_village_and_miss_the_other(weather):
    most, least = weather["rain_amount"].max(axis=0), weather["rain_amount"].min(axis=0)
    assert ((most > 0.3) & (least == 0.0)).sum() >= 2


def test_cold_air_lies_by_the_brook_on_the_clearest_calm_night_and_is_gone_by_noon():
    found = STATIONS.truth(WINTER)
    brook_minus_hill = found["air_temperature"][0] - found["air_temperature"][-1]
    coldest = int(brook_minus_hill.argmin())
    night_before = slice(coldest - 24, coldest)
    assert brook_minus_hill[coldest] < -3.0
    assert found["sun_elevation"][0, coldest] < 5.0
    assert found["cloud_cover"][:, night_before].mean() < 0.4
    assert found["wind_speed"][0, night_before].mean() < 1.5
    noon = found["sun_elevation"][0] > 18.0
    assert np.median(brook_minus_hill[noon]) > 0.5


def test_days_cool_with_height_at_about_the_standard_lapse_rate():
    # 6.5 K/km (ISO 2533) to 9.8 K/km (dry adiabatic): what stirred air does.
    found = STATIONS.truth(SUMMER)
    high_sun = found["sun_elevation"][0] > 45.0
    mean = found["air_temperature"][:, high_sun].mean(axis=1)
    lapse = -np.polyfit(STATIONS.elevation, mean, 1)[0]
    assert 0.0055 < lapse < 0.0098


def test_a_front_arrives_at_the_lee_side_as_much_later_as_it_takes_to_cross():
    front = WEATHER.fronts(WINTER)[2]
    ahead = np.array([np.sin(front.heading), np.cos(front.heading)])
    line = places(*np.outer(ahead, [-900.0, 900.0]))
    times = np.arange(front.arrival - 3600.0, front.arrival + 3600.0, 20.0)
    temperature = WEATHER.at(times, line.latitude, line.longitude, 480.0)["air_temperature"]
    fall = [times[np.argmin(row[45:] - row[:-45])] for row in temperature]  # the steepest quarter of an hour
    assert_allclose(fall[1] - fall[0], 1800.0 / front.speed, atol=90.0)
    assert temperature[:, 0].mean() - temperature[:, -1].mean() > 0.6 * front.cooling


def test_wind_veers_as_a_front_passes():
    front = max(WEATHER.fronts(WINTER), key=lambda front: front.wind)
    hill = places([450.0], [620.0])
    found = hill.truth(front.arrival + np.array([-5400.0, 5400.0]))
    veer = (np.diff(found["wind_from_direction"][0])[0] + 180.0) % 360.0 - 180.0
    assert 15.0 < veer < 150.0


def test_pressure_is_lowest_about_the_time_of_a_deep_front():
    front = max(WEATHER.fronts(WINTER), key=lambda front: front.trough)
    hours = np.arange(-20, 21)
    pressure = STATIONS.truth(front.arrival + 3600.0 * hours)["sea_level_pressure"][0]
    assert abs(hours[pressure.argmin()]) <= 10


def test_hours_asked_for_one_by_one_equal_the_day_asked_for_at_once():
    day = SUMMER[: 2 * 288]
    whole = STATIONS.truth(day)
    parts = [STATIONS.truth(part) for part in np.array_split(day, 7)]
    for name, values in whole.items():
        joined = np.concatenate([part[name] for part in parts], axis=1)
        assert_allclose(joined, values, rtol=1e-9, atol=1e-9, err_msg=name)


def test_times_may_come_in_any_order_and_far_apart():
    times = np.array([WINTER[100], SUMMER[50], WINTER[3]])
    found = STATIONS.truth(times)["air_temperature"]
    assert_allclose(found[:, 1:2], STATIONS.truth(SUMMER[50:51])["air_temperature"], rtol=1e-9)


def test_the_same_seed_has_the_same_weather_and_another_seed_another():
    arguments = WINTER[:50], STATIONS.latitude, STATIONS.longitude, STATIONS.elevation
    first, again, other = (Weather(seed).at(*arguments)["air_temperature"] for seed in (1, 1, 2))
    assert_array_equal(first, again)
    assert np.abs(first - other).max() > 1.0


def test_seasons_are_those_of_a_central_european_valley():
    # Lowland stations north of the Alps: January about 0 °C, July about 19 °C (from memory, climate normals).
    def mean(month):
        found = [
            WEATHER.at(
                five_minutes(f"{year}-{month}-01", 31)[::36], terrain.LATITUDE, terrain.LONGITUDE, 460.0
            )
            for year in range(2022, 2026)
        ]
        return np.mean([each["air_temperature"] for each in found]) - 273.15

    assert_allclose(mean("01"), 0.0, atol=3.0)
    assert_allclose(mean("07"), 19.0, atol=3.0)
