"""The front page: what a villager is promised, with and without data."""

import re
from collections.abc import Iterator

import numpy as np
import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse

from network.models import Observation
from network.pipeline.settle import settle
from network.quality.checks import CHECKS
from network.quality.verdict import DOUBTFUL, REASONS_FROM
from network.web import front
from stations.models import Station, Village
from tests.network.made_village import deliver, make_village, observations, one_by_one
from tests.village import five_minutes

VARIABLES = (
    "air_temperature",
    "relative_humidity",
    "station_pressure",
    "rain_amount",
    "wind_speed",
    "wind_from_direction",
)
TIMES = five_minutes("2024-05-14T00:00:00", 12 / 24)
NOW = float(TIMES[-1] + 660)
"""14:11 on Tuesday 14 May 2024, in the village."""

PAGE = "/little-aldenbrook/"


@pytest.fixture(scope="module")
def made(django_db_setup: None, django_db_blocker: object) -> Iterator[Village]:
    """Five stations' half day; Green's thermometer reads nonsense for its last hour, Mill's place is hidden."""
    with django_db_blocker.unblock(), transaction.atomic():
        village = make_village(5, VARIABLES)
        Station.objects.filter(name="Mill").update(shown=Station.Shown.HIDDEN)
        for station in Station.objects.of(village):
            said = observations(station, TIMES)
            if station.name == "Green":
                temperature = np.array([one["t"] for one in said])
                temperature[-12:] = 80.0
                said = observations(station, TIMES, {"t": temperature})
            deliver(one_by_one(station, said))
        settle()
        yield village
        transaction.set_rollback(True)


@pytest.fixture
def village(made: Village, db: None, monkeypatch: pytest.MonkeyPatch) -> Village:
    monkeypatch.setattr(front, "time", lambda: NOW)
    return made


@pytest.fixture
def page(village: Village, client: Client) -> str:
    return client.get(PAGE).content.decode()


def words(page: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_the_day_stands_at_the_top_in_the_villages_time(page):
    assert "Tuesday 14 May" in page
    assert 'datetime="2024-05-14T14:00:00+02:00"' in page
    assert 'href="?day=2024-05-13' in page
    assert "day after" not in page


def test_the_sentences_tell_of_warmth_wind_rain_and_pressure(page):
    told = words(page)
    for word in ("°C in the village", "Pressure", "since midnight"):
        assert word in told


def test_who_is_not_believed_is_said_and_stands_struck_through(page):
    assert "One of five stations is not believed just now: Green (temperature" in words(page)
    assert "wrong: temperature" in words(page)
    assert '<circle class="dot wrong"' in page


def test_the_map_says_how_sure_it_is_and_on_whom_it_stands(page):
    caption = re.search(r'<span class="doubt">(.*?)</span>', page)[1]
    assert re.match(
        r"About ±\d\.\d\s°C .*3 stations used, 1 left out \(Green: wrong\); 1 more keeps its place", caption
    )


def test_a_hidden_station_is_in_the_strip_and_the_table_but_not_on_the_map(page):
    picture = page[
        page.index('<svg xmlns="http://www.w3.org/2000/svg" class="village-map"') : page.index("</figure>")
    ]
    assert "Orchard" in picture
    assert "Mill" not in picture
    assert "Mill" in page[page.index('class="strip') :]


def test_the_strip_has_the_highest_station_on_top_and_opens_stations_at_an_hour(village, page):
    rows = re.findall(r'<a class="who" href="([^"]+)"', page)
    heights = [Station.objects.get(pk=int(row.split("/")[-2])).placements.first().elevation for row in rows]
    assert heights == sorted(heights, reverse=True)
    assert len(rows) == 5
    assert re.search(r'href="/little-aldenbrook/stations/\d+/\?at=\d+" tabindex="-1"', page)


def test_it_defers_to_the_weather_service(page):
    assert "Not a warning service" in page
    assert 'href="https://worldweather.wmo.int/"' in page


def test_no_style_or_script_stands_in_the_page(page):
    assert " style=" not in page
    assert re.findall(r"<script(?![^>]* src=)", page) == []


@pytest.mark.parametrize(
    "variable", ["dew_point", "sea_level_pressure", "rain_amount", "wind_speed", "nonsense"]
)
def test_every_variable_can_be_chosen(village, client, variable):
    assert client.get(PAGE, {"variable": variable}).status_code == 200


def test_an_earlier_moment_is_told_as_the_past(village, client):
    at = int(TIMES[-1]) - 3 * 3600
    told = words(client.get(PAGE, {"at": at}).content.decode())
    assert "11:00" in told
    assert "It was" in told


def test_when_reports_stop_the_page_says_so(village, client, monkeypatch):
    monkeypatch.setattr(front, "time", lambda: NOW + 7200)
    told = words(client.get(PAGE).content.decode())
    assert "Nothing has been heard since then" in told
    assert "It is" not in told


def test_a_day_without_reports_still_has_its_page(village, client):
    answer = client.get(PAGE, {"day": "2024-05-12"})
    assert answer.status_code == 200
    assert "Sunday 12 May" in answer.content.decode()
    assert "day after" in answer.content.decode()


@pytest.mark.parametrize("query", ["at=yesterday", "day=14.5.2024"])
def test_a_time_that_is_none_is_a_page_that_says_so(village, client, query):
    assert client.get(f"{PAGE}?{query}").status_code == 404


def test_the_map_alone_is_a_picture_that_may_be_kept_for_a_while(village, client):
    address = reverse("village-map", args=["little-aldenbrook"])
    query = {"variable": "air_temperature", "at": int(TIMES[-1])}
    answer = client.get(address, query)
    assert answer.headers["Content-Type"] == "image/svg+xml"
    assert "max-age" in answer.headers["Cache-Control"]
    assert b"<desc" in answer.content
    again = client.get(address, query, headers={"if-none-match": answer.headers["ETag"]})
    assert again.status_code == 304


def test_a_map_off_the_ten_minutes_is_refused(village, client):
    assert client.get(reverse("village-map", args=["little-aldenbrook"]), {"at": "17"}).status_code == 404


def test_exploring_brings_pictures_first_and_figures_when_asked(village, client):
    answer = client.get(f"{PAGE}explore/").content.decode()
    assert "village-map" in answer
    assert "plotly/plotly.min.js" in answer
    for name in ("map", "strip"):
        figure = client.get(reverse("village-figure", args=["little-aldenbrook", name])).json()
        assert figure["data"]


def test_the_front_page_asks_no_more_of_the_database_for_more_stations(
    village, client, django_assert_max_num_queries
):
    with django_assert_max_num_queries(20 + 3 * 5):
        client.get(PAGE)


def test_the_newest_frame_is_not_led_by_one_clock_that_is_ahead(village, client):
    one = Station.objects.of(village).first()
    deliver(one_by_one(one, observations(one, TIMES[-1:] + 600)))
    settle()
    assert "14:00" in words(client.get(PAGE).content.decode())


@pytest.mark.parametrize(("check", "word"), [("clock", "its clock is in doubt"), ("spike", "no report")])
def test_a_station_without_a_new_reading_is_not_silent_where_its_clock_is_in_doubt(
    village, client, check, word
):
    named = {"station__household__village": village, "station__name": "Green"}
    Observation.objects.filter(observed_at__gt=NOW - 3600, **named).delete()
    doubt = DOUBTFUL | 1 << (REASONS_FROM + CHECKS[check].bit)
    Observation.objects.filter(**named).update(air_temperature_mark=doubt)
    table = client.get(PAGE).content.decode().partition("village-table")[2]
    row = next(part for part in table.split("<tr>") if ">Green<" in part)
    assert row.rpartition("<td>")[2].count(word) == 1
