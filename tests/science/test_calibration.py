"""Calibrations against published rotors, gauges and dividers, and against what keepers mistype."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science import calibration
from network.science.calibration import WrongCalibration
from tests.published import power, rains, winds


def calibrated(kind, parameters, values):
    return calibration.apply(kind, parameters, values, np.arange(len(values)) * 300)


def test_gain_and_offset_work_in_the_variables_own_unit():
    assert_allclose(calibrated("gain_offset", {"offset": -0.4}, [290.0, np.nan]), [289.6, np.nan])
    assert_allclose(calibrated("gain_offset", {"gain": 1.05, "offset": 0.0}, [2.0]), [2.1])


def test_a_polynomial_begins_with_its_constant():
    # Constructed: 32 + 1.8 x turns 100 °C into 212 °F; 1 + 2x + 3x² at 2 is 17.
    assert_allclose(calibrated("polynomial", {"coefficients": [32, 1.8]}, [100.0]), [212.0])
    assert_allclose(calibrated("polynomial", {"coefficients": [1, 2, 3]}, [2.0]), [17.0])


def test_a_table_runs_straight_between_its_points_and_says_nothing_outside():
    table = {"points": [[0, 1], [10, 11], [20, 31]]}
    assert_allclose(
        calibrated("table", table, [-1, 0, 5, 15, 20, 21, np.nan]), [np.nan, 1, 6, 21, 31, np.nan, np.nan]
    )


@pytest.mark.parametrize(("upper", "lower", "battery", "pin"), power.DIVIDERS)
def test_a_divider_gives_the_battery_from_the_volts_at_the_pin(upper, lower, battery, pin):
    parameters = {"upper_resistance": upper, "lower_resistance": lower}
    assert calibration.input_unit("divider", parameters) == "V"
    assert_allclose(calibrated("divider", parameters, [pin]), [battery], rtol=1e-5)


def test_a_divider_gives_the_battery_from_a_count():
    upper, lower, battery, _ = power.DIVIDERS[0]
    parameters = {"bits": 10, "reference_voltage": 3.3, "upper_resistance": upper, "lower_resistance": lower}
    assert calibration.input_unit("divider", parameters) == "count"
    found = calibrated("divider", parameters, [power.COUNT_AT_14_4, power.COUNT_AT_14_4 + 1, 1024])
    assert_allclose(found[0], battery, rtol=0, atol=power.VOLTS_PER_COUNT)
    assert_allclose(found[1] - found[0], power.VOLTS_PER_COUNT, rtol=0, atol=0.000005)
    assert np.isnan(found[2])  # ten bits cannot count so far


def test_a_divider_to_two_volts_agrees_with_a_bench_supply_within_a_tenth():
    # Common practice, no source: 12 V comes to about 2 V at the pin; 12-bit converter, 3.3 V reference.
    parameters = {"bits": 12, "reference_voltage": 3.3, "upper_resistance": 100e3, "lower_resistance": 20e3}
    supply = np.array([10.5, 11.0, 12.0, 12.6, 14.4])
    counts = np.floor(supply * 20 / 120 / 3.3 * 4096)
    assert_allclose(calibrated("divider", parameters, counts), supply, rtol=0, atol=0.1)


def test_a_rotor_gives_the_speeds_of_its_published_line():
    frequency, speed = np.array(winds.ROTOR_SPEEDS).T
    assert_allclose(calibrated("rotor", winds.ROTOR_25_50, frequency), speed, rtol=0, atol=0.0006)


def test_a_rotor_takes_pulses_of_a_period_too():
    frequency, speed = np.array(winds.ROTOR_SPEEDS).T
    parameters = {**winds.ROTOR_25_50, "period": 300}
    assert calibration.input_unit("rotor", winds.ROTOR_25_50) == "1/s"
    assert calibration.input_unit("rotor", parameters) == "count"
    assert_allclose(calibrated("rotor", parameters, frequency * 300), speed, rtol=0, atol=0.0006)


def test_a_still_rotor_is_a_calm_and_not_its_offset():
    assert_allclose(calibrated("rotor", winds.ROTOR_25_50, [0.0, -1.0, np.nan]), [0.0, np.nan, np.nan])


def test_a_rotor_below_its_starting_threshold_is_a_calm():
    parameters = {**winds.ROTOR_25_50, "threshold": 0.5}
    assert_allclose(calibrated("rotor", parameters, [5, 10]), [0.0, 0.6012], atol=1e-6)


def test_tips_of_a_period_become_millimetres():
    _, _, millimetres = rains.TIPS[0]
    assert_allclose(
        calibrated("tips", {"millimetres_per_tip": millimetres}, [0, 3, np.nan]), [0, 0.6, np.nan]
    )


def test_a_running_total_of_tips_becomes_millimetres_in_whatever_order_it_arrives():
    parameters = {"millimetres_per_tip": 0.2, "counts": "total", "modulus": 256}
    found = calibration.apply("tips", parameters, [3, 250, 254], [900, 300, 600])
    assert_allclose(found, [1.0, np.nan, 0.8])


def test_a_wet_board_tells_the_share_that_is_wet_whichever_way_it_counts():
    assert_allclose(
        calibrated("wet_board", {"dry": 1000, "wet": 200}, [1010, 1000, 600, 100]), [0, 0, 0.5, 1]
    )
    assert_allclose(calibrated("wet_board", {"dry": 200, "wet": 1000}, [600, np.nan]), [0.5, np.nan])


def test_a_light_count_becomes_a_level_between_dark_and_bright():
    assert_allclose(calibrated("light", {"dark": 20, "bright": 1020}, [0, 520, 1023]), [0, 0.5, 1])


@pytest.mark.parametrize("sensor", ["upper", "lower"])
def test_a_light_dependent_resistor_tells_even_steps_of_its_logarithm(sensor):
    # Constructed: 1 MOhm dark, 100 Ohm bright, so 10 kOhm is half way; against 10 kOhm that is half the scale.
    parameters = {
        "bits": 10,
        "fixed_resistance": 1e4,
        "dark_resistance": 1e6,
        "bright_resistance": 100,
        "sensor": sensor,
    }
    found = calibrated("light_resistor", parameters, [511.5, 0, 1023, 1024])
    dark_end, bright_end = (0, 1) if sensor == "upper" else (1, 0)
    assert_allclose(found, [0.5, dark_end, bright_end, np.nan])


def test_lux_becomes_a_level_and_never_irradiance():
    # Constructed: 1 to 10000 lx, so 100 lx is half way on the logarithm.
    parameters = {"dark": 1, "bright": 10000}
    assert calibration.input_unit("light_lux", parameters) == "lx"
    assert_allclose(calibrated("light_lux", parameters, [0, 100, 1e6, -1]), [0, 0.5, 1, np.nan])


@pytest.mark.parametrize(
    ("kind", "parameters", "sentence"),
    [
        ("magic", {}, "not a kind of calibration: use one of gain_offset"),
        ("gain_offset", {"gain": 0, "offset": 0}, "'gain' is above 0, not 0"),
        ("gain_offset", {"gain": 1}, "'offset' is missing"),
        ("gain_offset", {"gain": "1", "offset": 0}, "'gain' is a number, not '1'"),
        ("gain_offset", {"gain": float("nan"), "offset": 0}, "'gain' is a number"),
        ("gain_offset", {"gain": True, "offset": 0}, "'gain' is a number"),
        ("gain_offset", {"slope": 2}, "has no 'slope': it takes gain, offset"),
        ("polynomial", {"coefficients": [4]}, "give at least two"),
        ("polynomial", {"coefficients": 4}, "a list of numbers"),
        ("table", {"points": [[0, 0]]}, "two points or more"),
        ("table", {"points": [[1, 0], [0, 1]]}, "must rise"),
        ("table", {"points": [[1, 0], [2]]}, "a list of pairs of numbers"),
        ("divider", {"upper_resistance": 1e5, "lower_resistance": 0}, "'lower_resistance' is above 0"),
        (
            "divider",
            {"bits": 10, "upper_resistance": 1e5, "lower_resistance": 2e4},
            "needs reference_voltage",
        ),
        ("rotor", {}, "'metres_per_pulse' is missing. How far"),
        ("rotor", {"metres_per_pulse": 1, "threshold": -1}, "'threshold' is 0 at least"),
        ("tips", {"millimetres_per_tip": 20}, "'millimetres_per_tip' is 5 at most"),
        ("tips", {"millimetres_per_tip": 0.2, "counts": "daily"}, "one of period, total"),
        ("wet_board", {"dry": 5, "wet": 5}, "the same dry and wet"),
        ("light", {"dark": 5, "bright": 5}, "must differ"),
        ("light_lux", {"dark": 10, "bright": 5}, "above 'dark'"),
        (
            "light_resistor",
            {"bits": 10, "fixed_resistance": 1e4, "dark_resistance": 1, "bright_resistance": 2},
            "must be the larger",
        ),
    ],
)
def test_parameters_that_cannot_be_are_refused_with_a_sentence(kind, parameters, sentence):
    with pytest.raises(WrongCalibration, match=sentence):
        calibration.check(kind, parameters)
    with pytest.raises(WrongCalibration):
        calibrated(kind, parameters, [1.0])


@pytest.mark.parametrize("kind", calibration.KINDS.values(), ids=lambda kind: kind.name)
def test_every_parameter_explains_itself_in_a_sentence(kind):
    for parameter in kind.parameters:
        assert parameter.help[0].isupper() or parameter.help[0] == "'"
        assert parameter.help.endswith(".")
