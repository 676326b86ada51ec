"""Figures typed in the unit a page shows mean the same as those the hub keeps."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from network.science import calibration
from network.science.variables import MEASURED, VARIABLES
from stations import figures

TEMPERATURE = VARIABLES["air_temperature"]
SECONDS = np.arange(3)
CURVES = {
    "gain_offset": {"gain": 1.02, "offset": -0.4},
    "polynomial": {"coefficients": [0.3, 0.98, 0.001]},
    "table": {"points": [[-10.0, -9.5], [0.0, 0.2], [30.0, 29.0]]},
}
AFTER = {  # by hand, in °C, of a sensor that reads 0, 10 and 25 °C
    "gain_offset": [-0.4, 9.8, 25.1],
    "polynomial": [0.3, 10.2, 25.425],
    "table": [0.2, 9.8, 24.2],
}


def test_a_value_is_kept_in_kelvin_and_a_difference_keeps_its_size():
    # SI Brochure, 9th edition, 2.3.1: t/°C = T/K - 273.15, and an interval of 1 °C is one of 1 K.
    assert figures.kept(TEMPERATURE, 0.0) == 273.15
    assert figures.kept_difference(TEMPERATURE, 0.4) == 0.4


@pytest.mark.parametrize("kind", CURVES)
def test_a_curve_typed_in_celsius_corrects_celsius(kind):
    kept = figures.kept_parameters(TEMPERATURE, kind, CURVES[kind])
    kelvin = calibration.apply(kind, kept, np.array([0.0, 10.0, 25.0]) + 273.15, SECONDS)
    assert_allclose(kelvin - 273.15, AFTER[kind], atol=1e-6)


@pytest.mark.parametrize("kind", CURVES)
def test_a_curve_comes_back_as_it_was_typed(kind):
    shown = figures.shown_parameters(
        TEMPERATURE, kind, figures.kept_parameters(TEMPERATURE, kind, CURVES[kind])
    )
    for name, typed in CURVES[kind].items():
        assert_allclose(shown[name], typed, atol=1e-6)


@given(st.sampled_from(MEASURED), st.floats(-100, 1500))
def test_any_figure_comes_back_as_it_was_typed(name, figure):
    variable = VARIABLES[name]
    assert figures.shown(variable, figures.kept(variable, figure)) == pytest.approx(figure, abs=1e-6)
    back = figures.shown_difference(variable, figures.kept_difference(variable, figure))
    assert back == pytest.approx(figure, abs=1e-6)


def test_a_calibration_is_read_out_in_words():
    words = figures.in_words(VARIABLES["rain_amount"], "tips", {"millimetres_per_tip": 0.2})
    assert words == "tips of a rain gauge: millimetres per tip 0.2 mm"


def test_how_a_board_counts_is_read_out_in_words_too():
    said = {"millimetres_per_tip": 0.2, "counts": "total", "modulus": 256}
    words = figures.in_words(VARIABLES["rain_amount"], "tips", said)
    assert words.endswith("; how it counts: the count runs on; the counter begins again at 256")
