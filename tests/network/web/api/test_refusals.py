"""What cannot be answered, and how often one may ask and how long an answer keeps."""

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test.utils import CaptureQueriesContext

from network.web.api.resource import Readers
from tests.network.made_village import settle_station
from tests.network.web.api.conftest import MORNING, NOON, SPOILT


@pytest.mark.parametrize(
    ("path", "asked", "status", "words"),
    [
        ("/api/stations/{}/observations", {"from": "yesterday"}, 400, "not a time like"),
        ("/api/stations/{}/observations", {"from": "2024-05-14T06:00:00"}, 400, "has no offset"),
        ("/api/stations/{}/observations", {"from": NOON, "to": SPOILT}, 400, "swapped"),
        ("/api/stations/{}/observations", {"limit": "5000"}, 400, "2016 at once is the most"),
        ("/api/stations/{}/observations", {"limit": "0"}, 400, "at least one"),
        ("/api/stations/{}/observations", {"limit": "many"}, 400, "whole number"),
        ("/api/stations/{}/observations", {"variables": "temperature"}, 400, "There is no variable"),
        ("/api/stations/{}/observations", {"units": "furlong"}, 400, "not a unit known here"),
        ("/api/stations/{}/observations", {"units": "mm/h"}, 400, "No variable is measured in"),
        ("/api/stations/{}/summaries", {"span": "year"}, 400, "use one of hour, day"),
        ("/api/stations?village=nowhere", {}, 404, "no village 'nowhere'"),
        ("/api/stations/99999999999999999999", {}, 404, "There is no station"),
        ("/api/villages/nowhere/maps", {"variable": "rain_amount"}, 404, "no village 'nowhere'"),
        ("/api/villages/nowhere/maps", {}, 404, "no village 'nowhere'"),
        ("/api/villages/little-aldenbrook/maps", {}, 400, "Say which map"),
        ("/api/villages/little-aldenbrook/maps", {"variable": "irradiance"}, 400, "no map of 'irradiance'"),
        ("/api/villages/little-aldenbrook/maps", {"variable": "rain_amount", "rows": 5000}, 400, "100 rows"),
        ("/api/estimate", {"lat": "north", "lon": 8.9, "variable": "rain_amount"}, 400, "degrees"),
        ("/api/estimate", {"lat": "nan", "lon": 8.9, "variable": "rain_amount"}, 400, "degrees"),
        ("/api/estimate", {"lat": 91, "lon": 8.9, "variable": "rain_amount"}, 400, "degrees"),
        ("/api/estimate", {"lon": 8.9, "variable": "rain_amount"}, 400, "lat"),
    ],
)
def test_a_refusal_says_what_is_wrong_and_what_to_do(reader, stations, path, asked, status, words):
    answer = reader.get(path.format(stations[0].pk), asked)
    body = answer.json()
    assert answer.status_code == body["status"] == status
    assert set(body) == {"status", "error", "hint"} and body["hint"]
    assert words in body["error"]


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete"])
def test_nothing_is_changed_through_a_resource_for_reading(reader, stations, method):
    answer = getattr(reader, method)(f"/api/stations/{stations[0].pk}")
    assert answer.status_code == answer.json()["status"] == 405


@pytest.mark.parametrize(
    "asked",
    [{"from": "0001-01-01T00:00:00Z"}, {"from": "0001-01-01T00:00:00Z", "to": "9999-12-31T23:59:59Z"}],
)
def test_all_time_may_be_asked_for(reader, stations, asked):
    for resource in ("observations", "comparisons", "summaries", "evidence"):
        answer = reader.get(f"/api/stations/{stations[1].pk}/{resource}", asked | {"limit": 2})
        assert answer.status_code == 200 and answer.json()[resource]


class TestKeeping:
    def test_what_is_final_may_be_kept_for_an_hour(self, reader, stations):
        answer = reader.get(f"/api/stations/{stations[0].pk}/observations", MORNING)
        assert "max-age=3600" in answer["Cache-Control"] and "public" in answer["Cache-Control"]

    def test_what_may_change_is_asked_for_again_and_costs_little(self, reader, stations):
        first = reader.get("/api/stations")
        assert first["Cache-Control"] == "no-cache"
        again = reader.get("/api/stations", headers={"If-None-Match": first["ETag"]})
        assert (again.status_code, again.content) == (304, b"")

    def test_what_a_person_reads_is_kept_for_that_person_alone(self, reader, stations):
        reader.force_login(User.objects.create_user("reader"))
        answer = reader.get(f"/api/stations/{stations[0].pk}/observations", MORNING)
        assert "private" in answer["Cache-Control"] and "Cookie" in answer["Vary"]


def test_a_reader_in_haste_is_asked_to_wait(reader, stations, monkeypatch):
    monkeypatch.setattr(Readers, "rate", "2/min")
    answers = [reader.get("/api/villages") for _ in range(3)]
    assert [answer.status_code for answer in answers] == [200, 200, 429]
    assert 0 < int(answers[-1]["Retry-After"]) <= 60
    assert answers[-1].json()["error"] == "That is too many questions in a minute."


@pytest.mark.parametrize(
    "path",
    [
        "/api/villages",
        "/api/stations",
        "/api/villages/little-aldenbrook/maps?variable=rain_amount&at=" + NOON,
    ],
)
def test_more_stations_cost_no_more_queries(reader, village, stations, path, django_assert_num_queries):
    with CaptureQueriesContext(connection) as before:
        assert reader.get(path).status_code == 200
    for name in ("Ridge", "Wood", "Weir"):
        settle_station(village, name, place=(47.311, 8.91, 450.0))
    with django_assert_num_queries(len(before)):
        assert reader.get(path).status_code == 200
