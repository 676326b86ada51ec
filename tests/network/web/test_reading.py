"""Each reader's own units, clock and language: chosen on a page, kept in a cookie, obeyed by what is said."""

import re
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from network.web import quantities, reader
from network.web.reader import CHOICES, COOKIE, Reader
from network.web.sentences import Gauge, Seen, sentences
from tests.published import winds

AT = datetime(2026, 11, 25, 14, 20, tzinfo=ZoneInfo("Europe/Zurich"))


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> object:
    """Answer somebody who has chosen so."""
    return lambda **chosen: monkeypatch.setattr(quantities, "reader", lambda: Reader(**chosen))


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("chosen", "name", "value", "said"),
    [
        # By definition of the units: 0 °C is 32 °F; 1 kn is 1852 m an hour; an inch is 25.4 mm.
        ({"temperature": "f"}, "air_temperature", 273.15, "32.0 °F"),
        ({"wind": "kmh"}, "wind_speed", 10.0, "36.0 km/h"),
        ({"wind": "kn"}, "wind_speed", 1852 / 360, "10 kn"),
        ({"wind": "mph"}, "wind_gust", 4.4704, "10 mph"),
        ({"rain": "in"}, "rain_amount", 25.4, "1.00 in"),
        # 1013.25 hPa is 29.92 inches of mercury: the standard atmosphere, as altimeters are set (from memory).
        ({"pressure": "inhg"}, "sea_level_pressure", 101325.0, "29.92 inHg"),
        ({}, "air_temperature", 273.15, "0.0 °C"),
    ],
)
def test_a_figure_is_told_in_the_readers_unit(reads, chosen, name, value, said) -> None:
    reads(**chosen)
    assert plain(quantities.amount(name, value)) == said


def test_a_mean_wind_may_be_told_as_a_force_but_never_a_gust(reads) -> None:
    reads(wind="bft")
    for force, _, low, _ in winds.BEAUFORT:  # public tables of the scale
        assert plain(quantities.amount("wind_speed", low)) == f"{force} Bft"
    assert plain(quantities.amount("wind_gust", 12.0)) == "12.0 m/s"


def test_a_difference_is_no_temperature(reads) -> None:
    reads(temperature="f")
    assert plain(quantities.difference("air_temperature", 5.0)) == "9.0 °F"


@pytest.mark.parametrize(
    ("hour", "said"), [(0, "12:20 am"), (1, "1:20 am"), (11, "11:20 am"), (12, "12:20 pm"), (14, "2:20 pm"), (23, "11:20 pm")]
)  # fmt: skip
def test_a_clock_of_twelve_hours_has_no_hour_nought(reads, hour: int, said: str) -> None:
    reads(clock="12")
    assert plain(quantities.hour(AT.replace(hour=hour))) == said


def test_the_days_sentences_follow(reads) -> None:
    reads(temperature="f", wind="kmh", rain="in")
    gauge = Gauge(lately=0.0, rate=0.0, today=25.4, last_wet=AT.replace(hour=9, minute=40))
    seen = Seen(
        at=AT, stations=3, temperatures={"Mill": 10.0, "Green": 10.0}, winds={"Mill": (3.0, 225.0)},
        gusts={"Hill": 10.0}, gauges={"Mill": gauge, "Green": gauge},
    )  # fmt: skip
    text = plain(" ".join(sentences(seen)))
    assert "It is 50 °F in the village." in text
    assert "gusts to 36 km/h at Hill" in text
    assert "Dry since 09:40; 1.00 in since midnight." in text


@given(st.text(max_size=60))
def test_no_cookie_is_too_strange(cookie: str) -> None:
    read = Reader.of(cookie)
    assert Reader.of(read.cookie()) == read
    assert all(getattr(read, name) in letters for name, letters in CHOICES.items())


def test_what_is_chosen_is_kept_and_leads_back(db: None) -> None:
    client = Client()
    page = client.get("/reading/", {"back": "/checks/"}).content.decode()
    assert page.count("<fieldset") == len(CHOICES) and page.count(" checked>") == len(CHOICES)
    answer = client.post("/reading/", {"temperature": "f", "clock": "12", "back": "/checks/"})
    assert answer.status_code == 302 and answer["Location"] == "/checks/"
    assert Reader.of(client.cookies[COOKIE].value) == Reader(temperature="f", clock="12")
    assert 'value="f" checked' in client.get("/reading/").content.decode()


@pytest.mark.parametrize("elsewhere", ["https://example.org/", "//example.org", "javascript:alert(1)"])
def test_it_leads_nowhere_else(db: None, elsewhere: str) -> None:
    assert Client().post("/reading/", {"back": elsewhere})["Location"] == "/"


def test_a_cache_must_keep_readers_apart(db: None) -> None:
    assert "Cookie" in Client().get("/reading/")["Vary"]


def test_one_readers_choice_is_forgotten_after_the_answer(db: None) -> None:
    client = Client()
    client.cookies[COOKIE] = Reader(temperature="f", language="de").cookie()
    assert re.search(r'<html lang="de"', client.get("/reading/").content.decode())
    assert reader.reader() == Reader()
    assert re.search(r'<html lang="en-gb"', Client().get("/reading/").content.decode(), re.IGNORECASE)


def test_a_page_that_is_not_translated_stays_english_as_a_whole(db: None) -> None:
    client = Client()
    client.cookies[COOKIE] = Reader(language="de").cookie()
    assert re.search(r'<html lang="en-gb"', client.get("/sign-in/").content.decode(), re.IGNORECASE)
