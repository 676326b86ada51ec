"""The figures of calibrations found at home, held to worked figures and to truths known beforehand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science import bench


def test_ice_and_warm_water_make_a_line():
    # Constructed: melting ice is 0 °C (by definition 273.15 K); the thermometer read 0.6 there and 38.8 at 40.0 °C.
    line = bench.points_line([0.6, 38.8], [0.0, 40.0])
    assert_allclose(line.gain * np.array([0.6, 38.8]) + line.offset, [0.0, 40.0], atol=1e-9)
    assert bench.points_line([0.6], [0.0]) == (1.0, -0.6)
    assert np.isnan(bench.points_line([5.0, 5.0], [4.0, 6.0]).gain)


def test_the_divider_follows_from_one_reading():
    # Computed: 100 k over 27 k puts 14.4 V at 3.06142 V.
    ratio = bench.divider_ratio(3.06142, 14.4)
    assert_allclose(bench.upper_resistance(ratio.value, 27_000.0), 100_000.0, rtol=1e-5)
    assert_allclose(ratio.error / ratio.value, 0.005, rtol=1e-6)


def test_a_litre_gives_the_tip():
    # Computed: 200 cm² catch 1 mm as 20 mL, so a tip of 0.2 mm is 4 mL, and a litre tips 250 times.
    tip = bench.millimetres_per_tip(1000.0, 250.0, 200.0)
    assert_allclose(tip.value, 0.2)
    assert_allclose(bench.funnel_area(15.958), 200.0, rtol=1e-4)
    assert 0.0019 < tip.error < 0.0025


def test_the_rotors_line_is_found_again():
    # A truth known beforehand: 0.7 m a pulse and 0.3 m/s.
    random = np.random.default_rng(7)
    frequency = np.linspace(4, 25, 12)
    speed = 0.7 * frequency + 0.3 + random.normal(0, 0.1, 12)
    factor, offset = bench.rotor_line(frequency, speed, 0.1)
    assert abs(factor.value - 0.7) < 3 * factor.error < 0.03
    assert abs(offset.value - 0.3) < 3 * offset.error


def test_one_drive_gives_the_factor_alone():
    # Constructed: 36 km/h are 10 m/s; 14 pulses a second make 0.714 m of each.
    factor, offset = bench.rotor_line([14.0], [10.0], bench.DRIVE_ERROR)
    assert_allclose(factor.value, 10 / 14)
    assert_allclose(factor.error, 0.5 / 14)
    assert offset.value == 0.0


def test_of_neighbours_the_middle_one_is_believed():
    own = np.zeros(50)
    others = np.full((5, 50), [[0.3], [0.4], [0.5], [0.6], [9.0]])  # one is far off
    told = bench.from_neighbours(own, others)
    assert_allclose(told.value, 0.5)
    assert 0.05 < told.error < 0.12
    assert np.isnan(bench.from_neighbours(own, others[:1]).error)
    assert np.isnan(bench.from_neighbours(own, np.empty((0, 50))).value)


@pytest.mark.parametrize("falls", [False, True])
def test_night_and_noon_of_a_light_sensor(falls):
    elevation = np.array([-20.0] * 40 + [40.0] * 40)
    counts = np.array([12.0] * 40 + [700.0] * 20 + [980.0] * 20)
    dark, bright = bench.dark_and_bright(1023 - counts if falls else counts, elevation)
    assert (dark, bright) == ((1011.0, 43.0) if falls else (12.0, 980.0))
    assert np.isnan(bench.dark_and_bright(counts[:40], elevation[:40])[1])


def test_a_pyranometer_that_reads_a_tenth_low_is_raised():
    clear = np.linspace(100, 900, 200)
    found = bench.clear_sky_gain(0.9 * clear, clear)
    assert_allclose(found.value, 1 / 0.9)
    assert np.isnan(bench.clear_sky_gain(np.full(200, np.nan), clear).value)
