"""How full a battery is by its voltage at rest, against tables and measurements of others."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.science.battery import CHEMISTRIES, Battery, recognise, state_of_charge


def test_a_lead_acid_battery_agrees_with_another_table_as_far_as_tables_agree():
    # A charge controller's manual, 100, 90 ... 10 %, read second-hand.
    volts = [12.7, 12.5, 12.42, 12.32, 12.20, 12.06, 11.9, 11.75, 11.58, 11.31]
    charge = np.arange(1.0, 0.05, -0.1)
    assert_allclose(state_of_charge(volts, Battery("lead_acid", 6)), charge, atol=0.22)


def test_a_lithium_ion_cell_agrees_with_a_curve_measured_by_somebody_else():
    # An 18650 cell at C/20, discharge and charge averaged, a day's rest between (MIT licence, published 2022).
    volts = [2.899, 3.227, 3.416, 3.558, 3.662, 3.752, 3.836, 3.926, 4.037, 4.091, 4.165]
    charge = np.array([1.8, 8.0, 20.2, 29.9, 40.1, 49.9, 59.7, 70.3, 80.0, 90.2, 99.6]) / 100
    assert_allclose(state_of_charge(volts, Battery("lithium_ion", 1)), charge, atol=0.08)


def test_an_iron_phosphate_cell_says_little_over_most_of_its_charge():
    # Common practice (read second-hand): nominal 3.2, empty 2.5 V, flat over 70 to 80 % of the discharge.
    low, high = state_of_charge([2.5, 3.6], Battery("lithium_iron_phosphate", 1))
    assert low < 0.05 and high == 1
    flat = np.diff(state_of_charge([3.25, 3.36], Battery("lithium_iron_phosphate", 1)))[0]
    assert 0.65 < flat < 0.85


def test_nickel_metal_hydride_rests_where_a_maker_says():
    # A maker's data sheet of button cells: 1.25 to 1.4 V in open circuit, 1.0 V at the end of discharge.
    assert_allclose(state_of_charge([4 * 1.0, 4 * 1.4], Battery("nickel_metal_hydride", 4)), [0, 1])
    assert 0.1 < state_of_charge(4 * 1.25, Battery("nickel_metal_hydride", 4)) < 0.9


@pytest.mark.parametrize("name", CHEMISTRIES)
def test_more_volts_never_mean_less_charge_and_nothing_is_nothing(name):
    charge = state_of_charge(np.linspace(0, 6, 601), Battery(name, 1))
    assert (np.diff(charge) >= 0).all() and charge[0] == 0 and charge[-1] == 1
    assert np.isnan(state_of_charge(np.nan, Battery(name, 1)))


@pytest.mark.parametrize(
    ("description", "volts", "chemistry", "cells"),
    [  # constructed: usual words and the voltages such batteries show
        ("sealed lead-acid, by a divider", 12.8, "lead_acid", 6),
        ("6 V lead battery", 6.4, "lead_acid", 3),
        ("LiFePO4 pack", 13.3, "lithium_iron_phosphate", 4),
        ("one lithium iron phosphate cell", 3.3, "lithium_iron_phosphate", 1),
        ("Li-ion cell", 3.3, "lithium_ion", 1),
        ("four NiMH cells", 5.2, "nickel_metal_hydride", 4),
    ],
)
def test_a_description_goes_before_the_voltage(description, volts, chemistry, cells):
    assert recognise([volts, np.nan], description) == Battery(chemistry, cells)


def test_without_a_description_the_voltage_tells_what_it_can():
    assert recognise([12.4, 12.9]) == Battery("lead_acid", 6, told=False)
    assert recognise([6.3]) == Battery("lead_acid", 3, told=False)
    assert recognise([3.6, 4.1]) == Battery("lithium_ion", 1, told=False)


def test_mains_silence_and_a_cell_that_could_be_either_are_not_guessed():
    assert recognise([5.0]) is None
    assert recognise([]) is None and recognise([np.nan]) is None
    assert recognise([3.25, 3.35]) is None
