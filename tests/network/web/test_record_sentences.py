"""A record in sentences: true, silent about nothing it does not know. Every expected word is ours, by rule."""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from network.science.climate import Told
from network.web.record import sentences as told_by
from network.web.record.sentences import Known, Peak, sentences

ZONE = ZoneInfo("Europe/Zurich")
ALL = Told(0.0, 30, 30, True)
HOURS = Told(41.2, 720, 720, True)
NOVEMBER = Known(
    span="November",
    kind="month",
    running=False,
    mean=Told(279.25, 30, 30, True),
    rain=HOURS,
    wet_days=replace(ALL, value=12.0),
    frost_days=replace(ALL, value=4.0),
    frost_hours=ALL,
    lowest=Peak(271.05, datetime(2026, 11, 23, 6, 40, tzinfo=ZONE)),
    highest=Peak(287.35, datetime(2026, 11, 18, 14, 20, tzinfo=ZONE)),
    before=("October", 280.05),
)


def said(rule: object, **changed: object) -> str:
    return rule(replace(NOVEMBER, **changed)).replace("\N{NO-BREAK SPACE}", " ")  # type: ignore[operator]


def test_a_whole_month_is_told_in_its_order():
    text = " ".join(sentences(NOVEMBER)).replace("\N{NO-BREAK SPACE}", " ")
    assert text == (
        "November: 6.1 °C in the mean, 0.8 °C below October. From −2.1 °C (23 November, 06:40) to 14.2 °C"
        " (18 November, 14:20). 41.2 mm of rain, on 12 days. Frost on 4 days."
    )


def test_a_running_month_is_told_so_far():
    assert said(told_by.warmth, running=True).startswith("November so far: 6.1 °C in the mean")


def test_a_mean_with_days_missing_is_only_about():
    assert "about 6.1 °C" in said(told_by.warmth, mean=Told(279.25, 27, 30, True))
    assert "about" not in said(told_by.warmth)


def test_stations_far_apart_make_a_villages_mean_about():
    assert "about 6.1 °C" in said(told_by.warmth, spread=2.0)


def test_too_little_for_a_mean_is_said_and_never_compared():
    told = said(told_by.warmth, mean=Told(279.25, 9, 24, False))
    assert (
        told == "November: too much is missing for a mean (15 of 24 days); what is known gives about 6.1 °C."
    )


def test_a_month_on_its_first_day_says_that_there_is_nothing_yet():
    nothing = Told(float("nan"), 0, 0, False)
    assert "only begun" in said(told_by.warmth, mean=nothing, running=True)
    assert said(told_by.rain, rain=nothing) == ""


def test_rain_with_hours_missing_is_at_least_so_much_and_says_how_many():
    told = said(told_by.rain, rain=Told(41.2, 690, 720, False))
    assert told == "At least 41.2 mm of rain, on 12 days or more; 30 of 720 hours are missing."


def test_no_rain_is_said_of_the_known_hours_only():
    assert said(told_by.rain, rain=Told(0.0, 700, 720, False)) == (
        "No rain in the hours that are known; 20 of 720 hours are missing."
    )
    assert said(told_by.rain, rain=Told(float("nan"), 0, 720, False)) == "How much it rained is not known."


def test_in_the_cold_no_rain_may_be_snow():
    assert "does not see snow" in said(told_by.rain, rain=replace(HOURS, value=0.0))
    warm = Peak(285.0, NOVEMBER.lowest.at)  # type: ignore[union-attr]
    assert said(told_by.rain, rain=replace(HOURS, value=0.0), lowest=warm) == "No rain."


def test_gauges_that_differ_are_told_from_the_least_to_the_most():
    assert said(told_by.rain, gauges=(38.0, 45.4)).startswith("38.0 to 45.4 mm of rain")
    assert said(told_by.rain, gauges=(45.4, 45.4)).startswith("45.4 mm of rain")


def test_no_frost_is_said_only_where_it_came_near_and_every_day_is_known():
    none = replace(ALL, value=0.0)
    assert said(told_by.frost, frost_days=none) == "No frost."
    assert said(told_by.frost, frost_days=Told(0.0, 28, 30, False)) == "No frost on the days that are known."
    mild = Peak(283.15, NOVEMBER.lowest.at)  # type: ignore[union-attr]
    assert said(told_by.frost, frost_days=none, lowest=mild) == ""
    assert said(told_by.frost, frost_days=Told(4.0, 28, 30, False)) == (
        "Frost on 4 days at least; 2 of 30 days are not known."
    )


@given(
    fell=st.floats(0.2, 400),
    known=st.integers(1, 720),
    days=st.integers(0, 30),
    coldest=st.floats(250, 300),
    kind=st.sampled_from(["day", "month", "year"]),
)
def test_a_wet_gauge_is_never_told_as_dry(fell: float, known: int, days: int, coldest: float, kind: str):
    told = said(
        told_by.rain,
        kind=kind,
        rain=Told(fell, known, 720, known == 720),
        wet_days=Told(float(days), 30, 30, True),
        lowest=Peak(coldest, datetime(2026, 11, 1, tzinfo=ZONE)),
    )
    assert "mm of rain" in told and "No rain" not in told and "dry" not in told.lower()
