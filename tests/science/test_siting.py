"""Siting classes worked out from surroundings, held to the published table.

WMO-No. 8, volume I, annex 1.D (ISO 19289). Read second-hand: temperature (slopes, radii, shares, angles, plants) and
slopes and angles at a gauge. From memory: ratios at a gauge, wind, sunlight. No test stands on a limit itself.
"""

from dataclasses import replace
from math import inf

import pytest
from numpy.testing import assert_allclose

from network.science.siting import Obstacle, Surroundings, assess
from network.science.siting.shade import highest_shade, worst_share

OPEN = Surroundings(
    latitude=47.0,
    height=1.5,
    slope=3.0,
    growth=0.05,
    warm={},
    obstacles=(),
    bright=1,
    gauge_shelter="ring",
    roughness=0.03,
    narrow=inf,
)


def one(distance: float, height: float, direction: str = "south", grows: bool = False) -> tuple[Obstacle]:
    return (Obstacle(direction, distance, height, grows),)


@pytest.mark.parametrize("variable", ["air_temperature", "rain_amount", "irradiance"])
def test_an_open_meadow_is_a_reference_site(variable):
    found = assess(variable, OPEN)
    assert (found.siting_class, found.gain) == (1, None)


WARMTH = [
    ({"warm": {"paving": 101.0}}, 1),
    ({"warm": {"paving": 31.0}}, 2),
    ({"warm": {"wall": 11.0}}, 3),
    # Nearer than 10 m: class 4 below half of the 10 m circle and 30 % of the 3 m circle.
    ({"warm": {"wall": 2.0}, "shares": {3: 0.25, 5: 0.4, 10: 0.45, 30: 0.3, 100: 0.3}}, 4),
    ({"warm": {"wall": 2.0}, "shares": {3: 0.35, 5: 0.4, 10: 0.45, 30: 0.3, 100: 0.3}}, 5),
    ({"warm": {"wall": 2.0}, "shares": {3: 0.25, 5: 0.4, 10: 0.55, 30: 0.3, 100: 0.3}}, 5),
    # Class 3 bears 10 % of the 10 m circle and 5 % of the 5 m circle.
    ({"warm": {"wall": 4.0}, "shares": {5: 0.04, 10: 0.09, 30: 0.3, 100: 0.3}}, 3),
    ({"warm": {"wall": 4.0}, "shares": {5: 0.06, 10: 0.09, 30: 0.3, 100: 0.3}}, 4),
    # Class 2: 10 % of 30 m, 5 % of the ring of 5 to 10 m, 1 % of 5 m.
    ({"warm": {"wall": 4.0}, "shares": {5: 0.009, 10: 0.03, 30: 0.09, 100: 0.3}}, 2),
    ({"warm": {"wall": 4.0}, "shares": {5: 0.009, 10: 0.09, 30: 0.09, 100: 0.3}}, 3),
    # Class 1: 10 % of 100 m, 5 % of the ring of 10 to 30 m, 1 % of 10 m.
    ({"warm": {"wall": 8.0}, "shares": {10: 0.009, 30: 0.04, 100: 0.09}}, 1),
    ({"warm": {"wall": 8.0}, "shares": {10: 0.009, 30: 0.06, 100: 0.09}}, 2),
    ({"slope": 18.0}, 1),
    ({"slope": 20.0}, 3),
    ({"growth": 0.2}, 3),
    ({"growth": 0.4}, 4),
    ({"growth": inf}, 4),
    ({"shade": 4.0}, 1),
    ({"shade": 6.0}, 2),
    ({"shade": 19.0}, 4),
    ({"shade": 21.0}, 5),
]


@pytest.mark.parametrize(("said", "number"), WARMTH)
def test_temperature_and_humidity_are_classed_as_the_table_says(said, number):
    assert assess("air_temperature", replace(OPEN, **said)).siting_class == number
    assert assess("relative_humidity", replace(OPEN, **said)).siting_class == number


RAIN = [
    # Constructed: height above the rim and distance, with the class that the angle gives.
    ({"height": 1.0, "obstacles": one(20, 8), "gauge_shelter": "none"}, 2),
    ({"height": 0.0, "obstacles": one(4, 6)}, 4),
    ({"height": 0.0, "obstacles": one(3, 9)}, 5),
    ({"height": 1.0, "obstacles": one(8, 8)}, 3),
    ({"height": 1.0, "obstacles": one(0.5, 0.9), "gauge_shelter": "none"}, 2),  # lower than the rim
    ({"height": 1.0, "obstacles": one(30, 8), "gauge_shelter": "shield"}, 1),
    ({"height": 1.0, "obstacles": one(20, 8), "gauge_shelter": "shield"}, 2),
    ({"slope": 18.0}, 1),
    ({"slope": 25.0}, 3),
    ({"slope": 35.0}, 4),
]


@pytest.mark.parametrize(("said", "number"), RAIN)
def test_rain_is_classed_as_the_table_says(said, number):
    assert assess("rain_amount", replace(OPEN, **said)).siting_class == number


WIND = [
    ({}, 1),
    ({"obstacles": one(310, 10)}, 1),
    ({"obstacles": one(150, 10)}, 2),
    ({"obstacles": one(60, 10)}, 3),
    ({"obstacles": one(30, 10)}, 4),
    ({"obstacles": one(20, 10)}, 5),
    ({"obstacles": one(2, 3.5)}, 1),  # lower than 4 m
    ({"obstacles": one(2, 4.5)}, 3),  # lower than 5 m
    ({"obstacles": one(2, 5.5)}, 4),  # lower than 6 m
    ({"narrow": 12.0}, 3),
    ({"narrow": 8.0}, 4),
    ({"roughness": 0.25}, 2),
    ({"roughness": 0.5}, 3),
]


@pytest.mark.parametrize(("said", "number"), WIND)
def test_wind_at_ten_metres_is_classed_as_the_table_says(said, number):
    assert assess("wind_speed", replace(OPEN, height=10.0, **said)).siting_class == number


def test_something_tall_over_more_than_sixty_degrees_is_class_five():
    tall = tuple(Obstacle(each, 35.0, 11.0) for each in ("north", "north-east"))
    assert assess("wind_speed", replace(OPEN, height=10.0, obstacles=tall)).siting_class == 5
    assert assess("wind_speed", replace(OPEN, height=10.0, obstacles=tall[:1])).siting_class == 4


def test_beside_a_low_mast_a_hedge_counts():
    # What may be ignored beside 10 m is taken in proportion: common practice.
    assert assess("wind_speed", replace(OPEN, height=3.0, obstacles=one(2, 3.5))).siting_class == 5


SUNLIGHT = [
    ({"shade": 4.0}, 47.0, 1),
    ({"shade": 6.0}, 47.0, 2),
    ({"shade": 9.0}, 47.0, 3),
    ({"shade": 15.0, "shaded_share": 0.25}, 47.0, 4),
    ({"shade": 15.0, "shaded_share": 0.35}, 47.0, 5),
    ({"shade": 4.0}, 65.0, 2),
    ({"shade": 6.0}, 65.0, 3),
    ({"bright": 3}, 47.0, 3),
]


@pytest.mark.parametrize(("said", "latitude", "number"), SUNLIGHT)
def test_sunlight_is_classed_as_the_table_says(said, latitude, number):
    assert assess("irradiance", replace(OPEN, latitude=latitude, **said)).siting_class == number


def test_what_is_not_answered_is_asked_for_and_leaves_the_class_open():
    nothing = Surroundings(latitude=47.0)
    found = assess("air_temperature", nothing)
    assert (found.siting_class, found.at_best) == (None, 1)
    assert set(found.open_questions) == {"slope", "ground", "near", "around"}
    # Whatever else is said, a thermometer that is shaded while the sun stands at 40° is class 5.
    assert assess("air_temperature", replace(nothing, shade=40.0)).siting_class == 5


def test_a_house_in_the_north_does_not_shade_a_northern_garden():
    # At 47° N the noon sun stands at 66.4° at midsummer: 90 - 47 + 23.44.
    south, north = one(1, 30, "south"), one(5, 30, "north")
    assert_allclose(highest_shade(south, 47.0, 1.5), 90 - 47 + 23.44, atol=0.3)
    assert highest_shade(north, 47.0, 1.5) == 0.0
    assert worst_share(north, 47.0, 1.5) == 0.0


def test_walls_all_around_take_the_shortest_day_whole():
    # Seen at 30° all around; at 47° N the midwinter sun never rises above 19.6°.
    sunny = ("north-east", "east", "south-east", "south", "south-west", "west", "north-west")
    walls = tuple(Obstacle(name, 10.0, 1.5 + 10.0 * 0.5774) for name in sunny)
    assert worst_share(walls, 47.0, 1.5) == 1.0
    assert 29.0 < highest_shade(walls, 47.0, 1.5) < 30.01


def test_the_change_that_gains_most_is_the_one_the_hardest_rule_asks():
    found = assess("air_temperature", replace(OPEN, warm={"paving": 15.0}, growth=0.4))
    assert found.siting_class == 4
    assert found.gain is not None
    assert "grass" in found.gain.words
    assert found.gain.siting_class == 3


def test_a_hedge_too_near_the_gauge_may_be_cut():
    found = assess("rain_amount", replace(OPEN, height=1.0, obstacles=one(4, 6, grows=True)))
    # Computed: 4 m away it may rise 2 m above a rim of 1 m; or it stands 2 × (6 − 1) m away.
    assert found.gain is not None
    assert "3.0 m" in found.gain.words
    assert "10 m" in found.gain.words
    assert found.gain.siting_class == 1


def test_of_two_obstacles_alike_both_have_to_go():
    both = (*one(4, 6, "south"), *one(4, 6, "west"))
    found = assess("rain_amount", replace(OPEN, height=1.0, obstacles=both))
    assert found.gain is not None
    assert "everything" in found.gain.words


def test_a_variable_without_classes_is_refused():
    with pytest.raises(ValueError, match="no siting classes"):
        assess("battery_voltage", OPEN)
