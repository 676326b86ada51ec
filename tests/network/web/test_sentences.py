"""The day in sentences: true, in words the trade publishes, and silent about nothing it does not know."""

from dataclasses import replace
from datetime import datetime, timedelta
from math import nan
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from network.web import sentences as told_by
from network.web.belief import belief
from network.web.sentences import Gauge, Seen, pressure, sentences

AT = datetime(2026, 11, 25, 14, 20, tzinfo=ZoneInfo("Europe/Zurich"))
DRY = Gauge(lately=0.0, rate=0.0, today=0.0, last_wet=None)
WARM = {"Mill": 7.2, "Green": 7.0, "Lane": 6.8}


def temperature(what: Seen) -> str:
    return breakable(told_by.temperature(what))


def wind(what: Seen) -> str:
    return breakable(told_by.wind(what))


def rain(what: Seen) -> str:
    return breakable(told_by.rain(what))


def day(what: Seen) -> str:
    return breakable(told_by.day(what))


def breakable(sentence: str) -> str:
    """With plain spaces before its units."""
    return sentence.replace("\N{NO-BREAK SPACE}", " ")


def seen(**known: object) -> Seen:
    return replace(Seen(at=AT, stations=11, temperatures=WARM), **known)


def test_one_temperature_is_told_for_a_village_that_agrees():
    assert temperature(seen()) == "It is 7 °C in the village."


def test_a_wide_spread_makes_it_about_and_names_the_place_that_differs():
    here = {**WARM, "Brook": 4.1, "Hill": 6.5}
    heights = {"Mill": 450.0, "Green": 460.0, "Lane": 455.0, "Brook": 420.0, "Hill": 580.0}
    told = temperature(seen(temperatures=here, elevations=heights))
    assert told == "It is about 7 °C in the village, 4 °C down at Brook."


def test_a_station_whose_place_is_hidden_is_not_said_to_be_up_or_down():
    heights = {"Mill": 450.0, "Green": 460.0, "Lane": 455.0}
    assert "4 °C at Brook" in temperature(seen(temperatures={**WARM, "Brook": 4.0}, elevations=heights))


def test_a_single_thermometer_does_not_speak_for_the_village():
    assert temperature(seen(temperatures={"Mill": -0.3})) == (
        "It is 0 °C at Mill; no other thermometer is trusted."
    )


def test_without_thermometers_it_says_so():
    assert "cannot be said" in temperature(seen(temperatures={}))


def test_the_past_is_told_as_the_past():
    words = breakable(" ".join(sentences(seen(present=False, gauges={"Mill": DRY}, tendency=-2.0))))
    assert "It was 7 °C" in words
    assert "Pressure was falling" in words
    assert " is " not in words.replace("gauge that is trusted", "")


# Where each Beaufort force begins and its name: the World Meteorological Organization's table as published
# in WMO-No. 8 and many almanacs (from memory).
@pytest.mark.parametrize(
    ("speed", "words"),
    [
        (0.2, "It is calm"),
        (1.0, "Light air from the south-west"),
        (2.5, "A light breeze from the south-west"),
        (4.0, "A gentle breeze from the south-west"),
        (9.0, "A fresh breeze from the south-west"),
        (15.0, "A near gale from the south-west"),
    ],
)
def test_wind_is_told_in_the_words_of_the_beaufort_scale(speed, words):
    assert wind(seen(winds={"Mill": (speed, 225.0), "Hill": (speed, 230.0)})) == f"{words}."


def test_winds_either_side_of_north_come_from_the_north():
    assert "from the north." in wind(seen(winds={"Mill": (4.0, 350.0), "Hill": (4.0, 10.0)}))


def test_winds_that_disagree_have_no_direction():
    assert "changing directions" in wind(seen(winds={"Mill": (4.0, 0.0), "Hill": (4.0, 180.0)}))


def test_a_gust_well_above_the_mean_is_told_with_its_place():
    told = wind(seen(winds={"Mill": (2.0, 225.0)}, gusts={"Mill": 3.0, "Hill": 6.3}))
    assert told.endswith(", gusts to 6 m/s at Hill.")


def test_without_trusted_wind_it_says_so():
    assert wind(seen()) == "No trusted station tells of the wind."


# Met Office, marine forecasts glossary (from memory): 'slowly' 0.1 to 1.5 hPa in the preceding three hours,
# plainly 'rising' or 'falling' 1.6 to 3.5, 'quickly' 3.6 to 6.0, 'very rapidly' more than 6.0.
@pytest.mark.parametrize(
    ("change", "words"),
    [
        (0.0, "steady"),
        (-0.1, "falling slowly"),
        (1.5, "rising slowly"),
        (-1.6, "falling"),
        (3.5, "rising"),
        (3.6, "rising quickly"),
        (-6.0, "falling quickly"),
        (-6.1, "falling very rapidly"),
    ],
)
def test_pressure_moves_in_the_words_of_the_marine_forecast(change, words):
    assert pressure(seen(tendency=change)) == f"Pressure is {words}."


def test_without_a_barometer_the_tendency_is_not_guessed():
    assert "cannot be said" in pressure(seen(tendency=nan))


def test_rain_everywhere_needs_no_place_and_rain_somewhere_has_one():
    wet = Gauge(lately=0.4, rate=3.0, today=3.2, last_wet=AT)
    assert rain(seen(gauges={"Mill": wet, "Hill": wet})) == "It is raining; 3.2 mm since midnight."
    assert "raining at Hill" in rain(seen(gauges={"Mill": DRY, "Lane": DRY, "Hill": wet}))


def test_dry_is_told_with_the_time_it_has_been_so():
    earlier = Gauge(lately=0.0, rate=0.0, today=3.2, last_wet=AT.replace(hour=9, minute=40))
    assert (
        rain(seen(gauges={"Mill": earlier, "Hill": DRY})) == "Dry since 09:40; up to 3.2 mm since midnight."
    )


def test_near_freezing_a_dry_gauge_does_not_promise_that_nothing_falls():
    told = rain(seen(temperatures={"Mill": 0.5}, gauges={"Mill": DRY, "Hill": DRY}))
    assert "snow" in told
    assert "Dry" not in told


def test_without_gauges_nothing_is_said_to_be_dry():
    assert "cannot be said" in rain(seen())
    assert "cannot be said" in rain(seen(gauges={"Mill": replace(DRY, lately=nan)}))


amounts = st.one_of(st.just(nan), st.floats(0, 20))


@given(st.dictionaries(st.sampled_from("ABCDEF"), st.builds(Gauge, amounts, amounts, amounts, st.none())))
def test_it_is_never_dry_while_a_trusted_gauge_is_wet(gauges):
    told = rain(seen(gauges=gauges))
    if any(gauge.lately > 0 for gauge in gauges.values()):
        assert "raining" in told
        assert "ry since" not in told and "Dry" not in told and "No rain" not in told
    assert "nan" not in told


def test_who_is_not_believed_is_named_with_what():
    told = belief(seen(doubted={"Mill End": ("temperature",), "Orchard": ("rain", "wind")}))
    assert told == [
        "Two of eleven stations are not believed just now: Mill End (temperature), Orchard (rain and wind)."
    ]


def test_who_is_silent_is_named_with_since_when():
    told = belief(seen(silent={"Bank": AT - timedelta(hours=8), "Wood": None}))
    assert "The last reading of Bank is of 06:20." in told
    assert "The last reading of Wood is a day old or older." in told


def test_the_day_so_far_names_where_and_when():
    low, high = (-8.7, "Mill", AT.replace(hour=7, minute=30)), (4.0, "Hill", AT)
    assert day(seen(low=low, high=high)) == (
        "Since midnight from −8.7 °C (Mill, 07:30) to 4.0 °C (Hill, 14:20)."
    )
    assert day(seen()) == ""
