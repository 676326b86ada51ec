"""Each household's board says what its instruments find, and each fault does what it is known for."""

import tomllib

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from network.demo import terrain
from network.demo.boards import BOARDS, VILLAGE, read_boards, values_sent
from network.demo.instruments import radiation_error
from network.science import calibration
from network.science.units import convert
from network.science.variables import VARIABLES
from tests.village import WEATHER, five_minutes

MONTH = five_minutes("2026-01-01", 30)
MADE_AT = int(MONTH[-1])
HALF_A_DAY = 144


@pytest.fixture(scope="module")
def boards():
    return {board.station: board for board in read_boards(MADE_AT)}


@pytest.fixture(scope="module")
def said(boards):
    """Each board's channels over the month, as arrays with NaN where nothing was said; made when asked for."""
    kept = {}

    def by_channel(station):
        if station not in kept:
            rows = values_sent(boards[station], WEATHER, MONTH)
            channels = [instrument.channel for instrument in boards[station].instruments]
            kept[station] = {name: np.array([row.get(name, np.nan) for row in rows]) for name in channels}
        return kept[station]

    return by_channel


@pytest.fixture(scope="module")
def truth(boards):
    kept = {}

    def at(station):
        if station not in kept:
            board = boards[station]
            ground = terrain.elevation(board.latitude, board.longitude)
            found = WEATHER.at(MONTH, board.latitude, board.longitude, ground)
            kept[station] = {name: values[0] for name, values in found.items()}
        return kept[station]

    return at


def described_stations():
    described = tomllib.loads(VILLAGE.read_text(encoding="utf-8"))
    stations = [station for household in described["households"] for station in household["stations"]]
    return stations, described["instruments"]


def days_before_the_end(days):
    return MADE_AT - days * 86400 <= MONTH


def test_sound_thermometer_agrees_with_the_truth(said, truth):
    departure = said("Church Green")["air"] - (truth("Church Green")["air_temperature"] - 273.15)
    assert np.abs(departure).max() < 1.2
    assert departure.std() < 0.3


def test_thermometer_that_ends_at_zero_rests_there_through_the_frost(said, truth):
    celsius = truth("Water Meadow")["air_temperature"] - 273.15
    frost = celsius < -1.0
    assert frost.sum() > HALF_A_DAY
    assert_array_equal(said("Water Meadow")["temperature"][frost], 0.0)
    assert (said("Water Meadow")["temperature"][celsius > 1.0] > 0.0).all()


def test_there_is_frost_by_the_brook_in_any_thirty_days_of_winter(truth):
    board = next(board for board in read_boards(0) if board.station == "Water Meadow")
    for end in ("2025-12-20", "2026-02-25", "2026-11-25", "2027-02-10"):
        times = five_minutes(end, 1)[0] - 1800 * np.arange(48 * 30)
        ground = terrain.elevation(board.latitude, board.longitude)
        found = WEATHER.at(times, board.latitude, board.longitude, ground)["air_temperature"]
        assert (found < 273.15).mean() > 0.03, end


def test_bare_thermometer_is_warm_in_sun_and_light_wind_and_right_at_night(said, truth):
    there = truth("Smithy Yard")
    departure = said("Smithy Yard")["t"] - (there["air_temperature"] - 273.15)
    sunny = (there["irradiance"] > 200.0) & (there["wind_speed"] < 2.0)
    dark = there["sun_elevation"] < -5.0
    assert departure[sunny].mean() - departure[dark].mean() > 1.0
    assert np.abs(departure[dark]).max() < 1.0


def test_shield_keeps_nine_tenths_of_the_suns_error_away():
    bare, screened = (radiation_error(800.0, 0.0, bare=bare) for bare in (True, False))
    assert_allclose([bare, screened], [8.0, 0.8])


def test_board_sends_fahrenheit_where_celsius_is_registered(said, truth):
    # 32 °F and 212 °F are the freezing and boiling points of water, 0 °C and 100 °C: five ninths a degree.
    stations, _ = described_stations()
    long_acre = next(station for station in stations if station["name"] == "Long Acre")
    registered = {each["channel"]: each["sends"] for each in long_acre["instruments"]}
    celsius = (said("Long Acre")["shade_temp"] - 32.0) * 5.0 / 9.0
    assert registered["shade_temp"] == "Cel"
    assert_allclose(celsius, truth("Long Acre")["air_temperature"] - 273.15, atol=1.2)


def test_seized_rotor_stands_still_from_its_day_on_while_the_vane_turns(said, truth):
    after = days_before_the_end(9)
    for channel in ("wind", "gust"):
        sent = said("Upper Lane")[channel]
        assert (sent[after] == 0.0).all()
        assert sent[~after].mean() > 3.0  # km/h
    assert truth("Upper Lane")["wind_speed"][after].mean() > 1.0
    assert np.nanstd(said("Upper Lane")["bearing"][after]) > 10.0


def test_blocked_gauge_catches_nothing_from_its_day_on(said, truth):
    after = days_before_the_end(13)
    fallen = truth("Schoolhouse")["rain_amount"]
    caught = said("Schoolhouse")["rain"]
    assert fallen[after].sum() > 5.0
    assert caught[after].sum() == 0.0
    assert_allclose(caught[~after].sum(), fallen[~after].sum(), rtol=0.2)


def test_failing_battery_sinks_over_the_last_ten_days(boards, said):
    divider = next(i.calibration for i in boards["Orchard"].instruments if i.channel == "adc3")
    voltage = voltage_behind(divider, said("Orchard")["adc3"])
    # A lead-acid battery of 12 V rests at 12.2 to 12.7 V; loads are cut at about 11.5 V (charge-controller manuals).
    assert voltage[~days_before_the_end(10)].min() > 12.2
    assert voltage[-HALF_A_DAY:].min() < 11.5
    daily = voltage[-10 * 288 :].reshape(10, 288).min(axis=1)
    assert (np.diff(daily[2:]) < 0.0).all()


def voltage_behind(divider, counts):
    # Ohm's law by hand: 3.3 V is the highest of 1024 counts, 100 kΩ lie above 20 kΩ.
    assert (divider["bits"], divider["upper_resistance"], divider["lower_resistance"]) == (10, 100000, 20000)
    return counts / 1023 * 3.3 * 6.0


def test_raw_pulses_are_those_of_the_wind_at_its_height(said, truth):
    # The rotor's line in the village file: 2.4 m of wind a pulse and 0.4 m/s, its mast is the standard 10 m.
    there, pulses = truth("Hill Farm"), said("Hill Farm")["pulses"]
    blowing = there["wind_speed"] > 2.0
    assert_array_equal(pulses, np.round(pulses))
    assert_allclose(2.4 * pulses[blowing] / 300.0 + 0.4, there["wind_speed"][blowing], rtol=0.15)
    assert (pulses[there["wind_speed"] < 0.4] == 0.0).all()


def test_gusts_by_pulses_are_at_least_the_mean(said):
    mean, gust = said("Hill Farm")["pulses"] / 300.0, said("Hill Farm")["pulses_3s"] / 3.0
    assert (gust >= mean).mean() > 0.999


def test_running_total_of_tips_counts_the_rain_and_starts_again(said, truth):
    total = said("Church Green")["tips_total"]
    change = np.diff(total, prepend=0.0)
    assert (change < 0.0).sum() > 3
    tips = np.where(change < 0.0, total, change)
    assert_allclose(0.2 * tips.sum(), truth("Church Green")["rain_amount"].sum(), rtol=0.15)


def test_wet_board_and_light_resistor_reach_from_one_end_to_the_other(said, truth):
    wet, light = said("Mill End")["wet"], said("Mill End")["light"]
    raining = truth("Mill End")["rain_amount"] > 0.3
    assert wet[raining].mean() < 500.0 < wet[truth("Mill End")["surface_wetness"] == 0.0].min()
    assert light[truth("Mill End")["sun_elevation"] < -8.0].max() < 80.0
    assert light[truth("Mill End")["irradiance"] > 200.0].min() > 600.0


def test_what_is_sent_live_equals_what_the_history_holds(boards):
    for board in boards.values():
        history = values_sent(board, WEATHER, MONTH[-40:])
        live = [values_sent(board, WEATHER, MONTH[[row]])[0] for row in (-40, -7, -1)]
        assert [history[0], history[-7], history[-1]] == live, board.station


def test_reports_off_the_five_minutes_are_refused_in_a_sentence(boards):
    with pytest.raises(ValueError, match="multiples of 300 s"):
        values_sent(boards["Mill End"], WEATHER, [MONTH[0] + 1])


def test_every_registered_channel_can_become_its_variable():
    stations, kinds = described_stations()
    for station in stations:
        calibrated = {each["channel"]: each for each in station.get("calibrations", [])}
        for fitted in station["instruments"]:
            variable = VARIABLES[kinds[fitted["kind"]]["variable"]]
            given = calibrated.get(fitted["channel"])
            if given is None:
                convert([1.0], fitted["sends"], variable.unit)  # raises where the dimension is wrong
                continue
            parameters = {k: v for k, v in given.items() if k not in ("channel", "kind", "why")}
            calibration.check(given["kind"], parameters)
            assert calibration.input_unit(given["kind"], parameters) == fitted["sends"]


def test_the_village_has_ten_stations_and_every_board_its_way_to_speak():
    stations, _ = described_stations()
    speech = tomllib.loads(BOARDS.read_text(encoding="utf-8"))
    assert len(stations) == 10
    assert {station["name"] for station in stations} == set(speech)
    assert {board["format"] for board in speech.values()} == {"senml", "json", "form"}
    for station in stations:
        assert all(1 <= note["class"] <= 5 for note in station["siting"])
