"""The classes in plain words, held to the published limits."""

import math
import re

import pytest

from network.science.variables import MEASURED
from stations.siting_classes import RAIN, WARMTH, WIND, alike, classification, next_better


def figures(sentence: str, unit: str) -> list[int]:
    """The whole numbers a sentence gives in a unit."""
    return [int(found) for found in re.findall(rf"(\d+) ?{unit}", sentence)]


def test_distances_and_shade_for_temperature_are_those_of_the_guide():
    # WMO-No. 8, volume I, chapter 1, annex (read second-hand): 100, 30 and 10 m; sun above 5°, 7°, 7° and 20°.
    assert [figures(each, "m away")[0] for each in WARMTH.classes[:3]] == [100, 30, 10]
    assert [figures(each, "°")[-1] for each in WARMTH.classes[:2]] == [5, 7]
    assert 7 in figures(WARMTH.classes[2], "°")
    assert 20 in figures(WARMTH.classes[3], "°")


def test_distances_for_wind_are_those_of_the_guide():
    # WMO-No. 8, volume I, chapter 1, annex (from memory): 30, 10, 5 and 2.5 times the obstacle's height.
    times = [re.search(r"at least ([\d½]+) times", each)[1] for each in WIND.classes[:4]]
    assert times == ["30", "10", "5", "2½"]


@pytest.mark.parametrize(("number", "distance"), [(2, 2.0), (3, 1.0), (4, 0.5)])
def test_angles_at_a_gauge_follow_from_the_distances(number, distance):
    # Computed: an obstacle at d times its height above the rim reaches up to atan(1 / d).
    assert math.floor(math.degrees(math.atan(1 / distance))) in figures(RAIN.classes[number - 1], "°")


@pytest.mark.parametrize("variable", MEASURED)
def test_every_variable_has_five_classes_or_none(variable):
    assert len(classification(variable).classes) in (0, 5)


def test_the_next_better_class_is_named_until_there_is_none():
    assert next_better("rain_amount", 3) == RAIN.classes[1]
    assert next_better("rain_amount", 1) == ""
    assert next_better("rain_amount", None) == ""
    assert next_better("station_pressure", 4) == ""


def test_humidity_is_sited_as_temperature_is():
    assert alike("air_temperature", ["air_temperature", "relative_humidity", "rain_amount"]) == [
        "relative_humidity"
    ]
