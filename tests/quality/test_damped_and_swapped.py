"""What is damped, exchanged, rounded, saturated or has its decimal point astray.

Expected values are laid down by hand, so what each check must answer is known beforehand.
"""

import numpy as np
import pytest

from network.quality.register import look_alone, look_at_neighbours
from network.quality.verdict import GOOD, WRONG
from network.quality.window import Expected, Floats
from tests.quality.windows import celsius, seen_by, verdicts, window

N = 288  # a day of five-minute readings
DAY = np.sin(np.arange(N) * 2 * np.pi / N)
CHANCE = np.random.default_rng(11)
TRUE = celsius(*(12.0 + 6.0 * DAY))
SHOWN = np.round(TRUE + CHANCE.normal(0, 0.1, N), 1)
DEW_POINT = celsius(*np.full(N, 5.0))


def humidity(temperature: Floats) -> Floats:
    """Over a dew point of 5.0 °C, 8.72 hPa, by the Magnus formula: WMO-No. 8, annex 4.B."""
    return 8.72 / (6.112 * np.exp(17.62 * (temperature - 273.15) / (243.12 + temperature - 273.15)))


def village() -> dict[str, Expected]:
    return {"air_temperature": (TRUE, np.full(N, 0.5)), "dew_point": (DEW_POINT, np.full(N, 0.5))}


def test_a_tenth_of_each_change_is_too_little_and_stillness_together_is_not():
    damped = 285.15 + 0.1 * (SHOWN - 285.15)
    for values, others, speaks in ((damped, TRUE, True), (SHOWN, TRUE, False), (damped, damped, False)):
        expected = {"air_temperature": (others, np.full(N, 0.3))}
        seen = seen_by(
            "variance_collapsed",
            look_at_neighbours(window({"air_temperature": values}), expected),
            "air_temperature",
        )
        assert seen.speaks().any() == speaks


def test_what_was_sound_before_a_sensor_was_damped_stays_so():
    values = np.where(np.arange(N) < 96, SHOWN, TRUE[96] + 0.1 * (SHOWN - TRUE[96]))
    looked = look_at_neighbours(
        window({"air_temperature": values}), {"air_temperature": (TRUE, np.full(N, 0.3))}
    )
    speaks = seen_by("variance_collapsed", looked, "air_temperature").speaks()
    assert speaks[144:].any() and not speaks[:80].any()


def test_temperature_and_humidity_exchanged_are_told_from_two_that_are_where_they_belong():
    damp = humidity(TRUE)
    for temperature, wet, verdict in (
        (SHOWN, damp, GOOD),
        (damp * 100 + 273.15, (SHOWN - 273.15) / 100, WRONG),
    ):
        station = window({"air_temperature": temperature, "relative_humidity": wet})
        seen = seen_by("swapped", look_at_neighbours(station, village()), "air_temperature")
        assert (verdicts(station, village())["air_temperature"][36:] == verdict).all()
        assert seen.speaks()[36:].all() == (verdict == WRONG) and seen.hint == "relative humidity"


def test_a_mean_wind_above_its_gust_for_hours_is_the_other_channel():
    wind, gust = 4.0 + DAY, 7.0 + DAY
    for mean, most, speaks in ((wind, gust, False), (gust, wind, True)):
        looked = look_at_neighbours(window({"wind_speed": mean, "wind_gust": most}), {})
        assert seen_by("swapped", looked, "wind_gust").speaks().any() == speaks


def test_a_battery_of_hundreds_of_volts_under_a_sun_of_four_watts_is_the_light():
    light, volts = 800.0 * np.maximum(DAY, 0), 4.0 + 0.1 * DAY
    sky = {"sun_elevation": 60.0 * DAY, "clear_sky": 900.0 * np.maximum(DAY, 0)}
    for irradiance, battery, speaks in ((light, volts, False), (volts, light, True)):
        station = window({"irradiance": irradiance, "battery_voltage": battery}, **sky)
        assert seen_by("swapped", look_at_neighbours(station, {}), "irradiance").speaks().any() == speaks


@pytest.mark.parametrize(("step", "speaks"), [(0.1, False), (1.0, True)])
def test_steps_coarser_than_the_instrument_is_said_to_have_are_told_and_doubt_nothing(
    step: float, speaks: bool
):
    values = celsius(*(np.round((SHOWN - 273.15) / step) * step))
    station = window({"air_temperature": values}, resolution={"air_temperature": 0.1})
    seen = seen_by("resolution", look_alone(station), "air_temperature")
    assert seen.speaks().all() == speaks
    expected = {"air_temperature": (TRUE, np.full(N, 0.5))}
    assert (verdicts(station, expected)["air_temperature"] == GOOD).all()


def test_saturated_for_hours_in_dry_air_is_found_and_saturated_in_fog_is_not():
    pinned = np.full(N, 1.0)
    for air, speaks in ((TRUE, True), (DEW_POINT, False)):
        expected = {"air_temperature": (air, np.full(N, 0.5)), "dew_point": (DEW_POINT, np.full(N, 0.5))}
        looked = look_at_neighbours(window({"relative_humidity": pinned}), expected)
        assert seen_by("saturated", looked, "relative_humidity").speaks().any() == speaks


@pytest.mark.parametrize("factor", [10.0, 0.1])
def test_a_decimal_point_one_place_off_is_named(factor: float):
    station = window({"air_temperature": celsius(*(factor * (SHOWN - 273.15)))})
    seen = seen_by("unit_hypothesis", look_at_neighbours(station, village()), "air_temperature")
    assert "one place" in seen.hint and seen.speaks()[36:].any()


def test_humidity_as_a_share_read_as_per_cent_is_named():
    station = window({"relative_humidity": humidity(TRUE) / 100})
    seen = seen_by("unit_hypothesis", look_at_neighbours(station, village()), "relative_humidity")
    assert "two places" in seen.hint and seen.speaks().any()


def test_a_tip_of_a_gauge_tells_its_unit_without_any_neighbour():
    # 0.2 mm are 0.2 / 25.4 inches, by definition.
    rain = np.where(np.arange(N) % 40 == 0, 0.2, 0.0)
    for values, speaks in ((rain, False), (np.round(rain / 25.4, 4), True)):
        looked = look_at_neighbours(window({"rain_amount": values}, resolution={"rain_amount": 0.2}), {})
        seen = seen_by("unit_hypothesis", looked, "rain_amount")
        assert seen.speaks().any() == speaks
        assert seen.hint.startswith("in ") or not speaks


def test_a_gauge_that_shakes_in_a_dry_gale_is_found_and_a_shower_is_left_to_the_others():
    gust = np.full(N, 9.0)
    tips = np.where(np.arange(N) % 8 == 0, 0.2, 0.0)
    station = window({"rain_amount": tips, "wind_gust": gust})
    for around, speaks in ((np.zeros(N), True), (np.full(N, 0.03), False)):
        looked = look_at_neighbours(station, {"rain_amount": (around, np.full(N, 0.05))})
        assert seen_by("rain_alone", looked, "rain_amount").speaks().any() == speaks
