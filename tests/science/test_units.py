"""Units mean what the standards say they mean, however they are spelled."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from network.science.units import UnknownUnit, WrongDimension, convert, sign, units_for
from network.science.variables import VARIABLES
from tests.published import equalities


@pytest.mark.parametrize(("value", "unit", "expected", "to"), equalities.EQUALITIES)
def test_units_are_worth_what_their_definition_says(value, unit, expected, to):
    assert_allclose(convert(value, unit, to), expected, rtol=1e-14)


@pytest.mark.parametrize(("height", "unit"), equalities.MERCURY)
def test_the_standard_atmosphere_carries_its_column_of_mercury(height, unit):
    assert_allclose(convert(height, unit, "Pa"), 101325, rtol=2e-6)


@pytest.mark.parametrize(
    ("spelling", "symbol"), [(s, symbol) for symbol, all_ in equalities.SPELLINGS.items() for s in all_]
)
def test_a_usual_spelling_means_the_same_as_the_symbol(spelling, symbol):
    assert_array_equal(convert([0.0, 1.0, 7.5], spelling, symbol), [0.0, 1.0, 7.5])


def test_missing_values_stay_missing_and_shapes_stay():
    converted = convert([[50.0, np.nan]], "F", "Cel")
    assert_allclose(converted, [[10.0, np.nan]])


@pytest.mark.parametrize(
    ("unit", "to", "way_out"),
    [
        ("hPa", "K", "Cel"),
        ("lx", "W/m2", "W/m2"),
        ("mm/h", "mm", "l/m2"),
        ("mm/h", "m/s", "km/h"),
        ("V", "1", "%"),
    ],
)
def test_a_unit_of_something_else_is_refused_with_units_that_fit(unit, to, way_out):
    with pytest.raises(WrongDimension, match=f"'{unit}'.*{way_out}"):
        convert(1.0, unit, to)


def test_a_raw_count_is_refused_with_the_advice_to_calibrate():
    with pytest.raises(WrongDimension, match=r"raw count.*calibration.*m/s"):
        convert(512, "count", "m/s")


@pytest.mark.parametrize("unit", ["furlong", "h", "", "farad", "coulomb"])
def test_an_unknown_unit_is_refused_with_units_that_fit(unit):
    with pytest.raises(UnknownUnit, match="not a unit of pressure: use hPa, Pa"):
        convert(1.0, unit, "Pa")


@pytest.mark.parametrize("variable", VARIABLES.values(), ids=lambda variable: variable.name)
def test_every_variable_offers_units_that_reach_its_own(variable):
    offered = units_for(variable)
    assert offered[0] == variable.shown_unit
    for unit in offered:
        assert np.isfinite(convert(1.0, unit, variable.unit))


def test_a_page_writes_units_as_people_do():
    assert [sign(unit) for unit in ("Cel", "F", "[kn_i]", "[in_i'Hg]", "W/m2")] == [
        "°C",
        "°F",
        "kn",
        "inHg",
        "W/m²",
    ]


FAMILIES = [
    units_for(VARIABLES[name])
    for name in ("air_temperature", "station_pressure", "wind_speed", "rain_amount", "relative_humidity")
]
PAIRS = [(unit, to) for family in FAMILIES for unit in family for to in family]


@given(st.floats(-1e4, 1e5), st.sampled_from(PAIRS))
def test_there_and_back_again_is_where_it_began(value, pair):
    unit, to = pair
    assert_allclose(convert(convert(value, unit, to), to, unit), value, rtol=1e-12, atol=1e-9)
