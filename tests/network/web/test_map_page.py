"""The map page and the gate: what they promise with and without JavaScript, and who is not to be seen."""

import gzip
import json
import re
from collections.abc import Iterator

import numpy as np
import pytest
from django.core.cache import cache
from django.db import transaction
from django.test import Client
from django.urls import reverse

from network.models import VillageMap
from network.pipeline.settle import settle
from network.web.map_words import doubt_words
from network.web.maps import gate, page
from network.web.maps.packed import eastward_steps, pack
from network.web.maps.span import ticks
from stations.models import Station, Village
from tests.network.made_village import (
    Report,
    deliver,
    found_village,
    make_village,
    observations,
    settle_station,
)
from tests.published.winds import BEAUFORT
from tests.village import five_minutes

VARIABLES = ("air_temperature", "relative_humidity", "rain_amount", "wind_speed", "wind_from_direction")
TIMES = five_minutes("2024-05-14T00:00:00", 12 / 24)
NEWEST = int(TIMES[-1]) // 600 * 600
NOW = float(NEWEST + 60)
SLUG = "little-aldenbrook"
PAGE, GATE = f"/{SLUG}/map/", f"/{SLUG}/gate/"
HERE = {"lat": "47.312", "lon": "8.914"}


@pytest.fixture(scope="module")
def made(django_db_setup: None, django_db_blocker: object) -> Iterator[Village]:
    """Six stations' half day; Mill does not show its place."""
    with django_db_blocker.unblock(), transaction.atomic():
        village = make_village(6, VARIABLES)
        Station.objects.filter(name="Mill").update(shown=Station.Shown.HIDDEN)
        for station in Station.objects.of(village):
            deliver([Report(station.pk, tuple(observations(station, TIMES)))])
        settle()
        yield village
        transaction.set_rollback(True)


@pytest.fixture
def village(made: Village, db: None, monkeypatch: pytest.MonkeyPatch) -> Village:
    for module in (page, gate):
        monkeypatch.setattr(module, "time", lambda: NOW)
    cache.clear()
    return made


def run(client: Client, variable: str = "air_temperature", until: int = NEWEST, **headers: str) -> object:
    address = reverse("village-map-run", args=[SLUG])
    return client.get(address, {"variable": variable, "at": until}, headers=headers)


def head(content: bytes) -> dict:
    return json.loads(content[4 : 4 + int.from_bytes(content[:4], "little")])


def words(answer: object) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def test_without_javascript_the_page_is_the_servers_picture_with_links_to_other_hours(village, client):
    answer = client.get(PAGE, {"at": NEWEST - 7200})
    told = answer.content.decode()
    assert "Air temperature, 12:00 on Tuesday 14 May" in words(answer)
    assert 'class="isoline"' in told
    for step in ("an hour earlier", "ten minutes later", "two days earlier"):
        assert step in told
    assert f'min="{NEWEST - 48 * 3600 + 600}" max="{NEWEST}"' in told


def test_how_sure_the_map_is_follows_the_time(village, client):
    told = words(client.get(PAGE))
    assert re.search(
        r"14 May About ±\d\.\d °C (in the middle|everywhere).*? 5 stations used, none left out; 1 more keeps its",
        told,
    )


def test_the_front_page_leads_there_and_keeps_variable_and_time(village, client, monkeypatch):
    monkeypatch.setattr("network.web.front.time", lambda: NOW)
    told = client.get(f"/{SLUG}/", {"variable": "dew_point"}).content.decode()
    assert f'href="{PAGE}?variable=dew_point&amp;at={NEWEST}"' in told


@pytest.mark.parametrize(
    ("variable", "key"), [("air_temperature", "swatch"), ("rain_amount", "stipple"), ("wind_speed", "arrow")]
)
def test_a_key_tells_what_the_inks_mean(village, client, variable, key):
    told = client.get(PAGE, {"variable": variable}).content.decode()
    assert f'class="{key}"' in told[told.index('class="map-key"') :]


@pytest.mark.parametrize(
    "variable", ["air_temperature", "dew_point", "sea_level_pressure", "rain_amount", "wind_speed"]
)
def test_two_days_of_maps_come_in_one_small_piece(village, client, variable):
    answer = run(client, variable)
    told = head(answer.content)
    assert told["frames"] == {"first": NEWEST - 48 * 3600 + 600, "step": 600, "count": 288}
    assert len(gzip.compress(answer.content)) <= 250_000
    assert run(client, variable, **{"accept-encoding": "gzip"}).headers["Content-Encoding"] == "gzip"


def test_a_second_view_costs_no_more_than_a_304(village, client):
    first = run(client)
    assert "max-age" in first.headers["Cache-Control"]
    again = run(client, **{"if-none-match": first.headers["ETag"]})
    assert (again.status_code, again.content) == (304, b"")


def test_a_station_that_does_not_show_its_place_is_neither_on_the_map_nor_in_its_table(village, client):
    names = {one["name"] for one in head(run(client).content)["stations"]}
    assert names == {"Brook", "Green", "Orchard", "School", "Lane"}
    told = client.get(PAGE).content.decode()
    assert "Mill" not in told[told.index('class="sheet"') :]


def test_what_was_drawn_before_a_household_hid_its_place_is_not_handed_out_again(village, client):
    pictures = reverse("map-png", args=[SLUG])
    assert "Green" in {one["name"] for one in head(run(client).content)["stations"]}
    before = client.get(pictures, {"at": NEWEST}).content
    with transaction.atomic():
        Station.objects.filter(name="Green").update(shown=Station.Shown.HIDDEN)
        assert "Green" not in {one["name"] for one in head(run(client).content)["stations"]}
        assert client.get(pictures, {"at": NEWEST}).content != before
        transaction.set_rollback(True)


def test_every_frame_has_its_sentence_also_where_there_is_no_map(village, client):
    content = run(client).content
    captions = head(content)["captions"]
    assert any("stations used" in one for one in captions)
    assert any("a map needs three" in one for one in captions)


def test_maps_of_a_time_without_reports_come_too(village, client):
    told = head(run(client, until=NEWEST - 30 * 86400).content)
    assert told["layers"] == []


@pytest.mark.parametrize("until", ["17", "soon"])
def test_maps_up_to_no_frame_are_refused(village, client, until):
    assert client.get(reverse("village-map-run", args=[SLUG]), {"at": until}).status_code == 404


def test_at_the_gate_the_estimate_stands_in_its_interval_with_the_last_day(village, client):
    answer = client.get(GATE, HERE)
    told = re.search(
        r"At 14:00 about ([\d.]+) °C, between ([\d.]+) and ([\d.]+) °C in nine cases out of ten",
        words(answer),
    )
    value, low, high = (float(part) for part in told.groups())
    assert low < value < high
    assert 'class="band"' in answer.content.decode()
    asked = {"variable": "air_temperature", **HERE, "at": "2024-05-14T14:00:00+02:00"}
    assert value == pytest.approx(client.get("/api/estimate", asked).json()["value"], abs=0.051)


def test_a_reader_of_other_units_and_another_clock_has_the_maps_in_them(village, client):
    celsius = float(re.search(r"At 14:00 about ([\d.]+) °C", words(client.get(GATE, HERE)))[1])
    client.cookies["reading"] = "f.kn.inhg.in.12.en"
    told = re.search(r"At 2:00\spm about ([\d.]+) °F", words(client.get(GATE, HERE)))
    assert float(told[1]) == pytest.approx(celsius * 9 / 5 + 32, abs=0.15)
    page = client.get(PAGE).content.decode()
    assert "degrees Fahrenheit" in page
    assert 'data-hours="12"' in page
    assert head(run(client).content)["unit"] == "°F"
    assert head(run(client, "rain_amount").content)["scale"]["factor"] == pytest.approx(1 / 25.4)
    # A knot is 1852 m in an hour.
    assert head(run(client, "wind_speed").content)["scale"]["factor"] == pytest.approx(3600 / 1852)


def test_on_the_scale_of_forces_the_browser_is_told_where_each_begins(village, client):
    client.cookies["reading"] = "c.bft"
    forces = head(run(client, "wind_speed").content)["scale"]["forces"]
    assert forces == [begins for force, _, begins, _ in BEAUFORT if force]


@pytest.mark.parametrize("variable", ["rain_amount", "wind_speed", "dew_point"])
def test_any_variable_can_be_asked_for_at_the_gate(village, client, variable):
    assert "nine" in words(client.get(GATE, {**HERE, "variable": variable}))


def test_the_map_page_keeps_the_gate_in_its_address(village, client):
    told = client.get(PAGE, HERE).content.decode()
    assert "lat=47.31200&amp;lon=8.91400" in told
    assert 'value="47.31200"' in told


def test_a_gate_outside_the_map_is_told_where_the_map_ends(village, client):
    assert "lies outside the map" in words(client.get(GATE, {"lat": "8.914", "lon": "47.312"}))


@pytest.mark.parametrize(
    "given", [{"lat": "north", "lon": "8.9"}, {"lat": "nan", "lon": "8.9"}, {"lat": "47.3"}]
)
@pytest.mark.parametrize("address", [GATE, PAGE])
def test_a_gate_nobody_can_read_is_told_how_places_are_written(village, client, address, given):
    answer = client.get(address, given)
    assert answer.status_code == 200
    assert "A place is written in degrees north and east, such as 47.312 and 8.914." in words(answer)
    for name, text in given.items():  # what could be read is kept
        kept = f'name="{name}" inputmode="decimal" type="text" required value="{text}'
        assert (kept in answer.content.decode()) == text.replace(".", "").isdigit()


def test_a_map_that_a_plainer_method_draws_says_so(village, client):
    told = words(client.get(PAGE, {"variable": "air_temperature"}))
    assert "serves as well" not in told
    with transaction.atomic():
        VillageMap.objects.filter(village=village).update(method="inverse distance")
        said = "drawn by inverse distance, which is plainer and serves as well"
        assert said in words(client.get(PAGE, {"variable": "air_temperature"}))
        cache.clear()
        assert any(said in one for one in head(run(client).content)["captions"])
        transaction.set_rollback(True)


def test_nobody_knows_the_weather_to_nought(village):
    def told(variable, errors):
        return doubt_words((9, 9), variable, errors).replace("\N{NO-BREAK SPACE}", " ")

    cells = np.full(9 * 9, 0.01)
    assert told("rain_amount", cells) == "Less than ±0.1 mm everywhere"
    assert told("air_temperature", 20 * cells) == "About ±0.2 °C everywhere"
    rim = cells.reshape(9, 9)
    rim[[0, -1]] = rim[:, [0, -1]] = 0.3
    assert told("rain_amount", cells) == "Less than ±0.1 mm in the middle, ±0.3 at the edges"


def test_map_and_gate_count_alike_the_stations_that_are_too_few(village, client):
    with transaction.atomic():
        few = found_village(name="Upper Aldenbrook")
        for name in ("Brook", "Mill"):
            station = settle_station(few, name)
            deliver([Report(station.pk, tuple(observations(station, TIMES[-12:])))])
        settle()
        told = words(client.get("/upper-aldenbrook/map/", HERE))
        assert told.count("Two trusted stations report air temperature; a map needs three.") >= 2
        assert "No trusted stations" not in told
        transaction.set_rollback(True)


def test_before_any_report_the_pages_say_what_makes_a_map(village, client):
    found_village(name="Upper Aldenbrook")
    assert "Three stations make a map" in words(client.get("/upper-aldenbrook/map/"))
    assert "No station has reported yet" in words(client.get("/upper-aldenbrook/gate/"))


def test_a_pack_says_what_is_in_it_and_every_array_begins_on_a_multiple_of_four():
    packed = pack(
        {"a": "µ"}, {"odd": np.arange(3, dtype=np.uint8), "next": np.array([1.5], dtype=np.float32)}
    )
    told = head(packed)
    assert told["arrays"][1] == {"name": "next", "type": "float32", "shape": [1]}
    assert np.frombuffer(packed[-4:], "<f4").tolist() == [1.5]


def test_steps_from_cell_to_cell_add_up_to_the_picture_again():
    pictures = np.array([[-32768, 32767, 5, 1, 2, 3]], dtype=np.int16)
    steps = eastward_steps(pictures, 3).reshape(1, 2, 3)
    assert np.cumsum(steps, axis=2, dtype=np.int16).ravel().tolist() == pictures.ravel().tolist()


def test_along_the_slider_midnights_bear_their_day_across_a_change_of_the_clock(village):
    # In Zurich clocks went back at 03:00 on Sunday 27 October 2024; midnight was at 22:00 UTC before, 23:00 after.
    begins = 1729936800  # 2024-10-26T10:00:00Z
    told = {one.words: one.x for one in ticks(begins, begins + 48 * 3600, village.clock) if one.midnight}
    assert told == {"Sun 27": 25.0, "Mon 28": pytest.approx(100 * 37 / 48, abs=0.01)}
