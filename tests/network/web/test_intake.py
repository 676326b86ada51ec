"""POST /api/reports, as small boards use and misuse it."""

import io
import json
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime

import pytest
from django.core.cache import cache
from django.db import OperationalError
from django.http import HttpResponse
from django.test import Client

from network.models import Notice, Report, Work
from network.pipeline import receive, work
from network.wire.limits import MOST_BYTES, MOST_READINGS
from stations.models import DeviceKey, Station
from tests.network.made_village import make_village
from tests.wire import rfc8428

JSON, FORM, SENML = "application/json", "application/x-www-form-urlencoded", "application/senml+json"
THEN = "2025-06-01T12:00:00Z"

Post = Callable[..., HttpResponse]


@pytest.fixture
def station(db: None) -> Station:
    return Station.objects.of(make_village(1)).get()


@pytest.fixture
def key(station: Station) -> str:
    return DeviceKey.issue(station)[1]


@pytest.fixture
def post(key: str) -> Iterator[Post]:
    """Hand over a body with the station's key; ``headers`` and WSGI variables may say otherwise."""
    cache.clear()

    def hand_over(body: bytes | str | dict | list, content_type: str = JSON, query: str = "", **said: object):
        text = json.dumps(body) if isinstance(body, dict | list) else body
        headers = said.pop("headers", {"Authorization": f"Bearer {key}"})
        client = Client(raise_request_exception=False, headers=headers)
        data = text.encode() if isinstance(text, str) else text
        return client.generic("POST", f"/api/reports{query}", data, content_type, **said)

    yield hand_over
    cache.clear()


def assert_refused(answer: HttpResponse, status: int, *words: str) -> None:
    body = answer.json()
    assert (answer.status_code, body["status"], set(body)) == (status, status, {"status", "error", "hint"})
    for word in words:
        assert word in body["error"] + body["hint"]
    for sentence in (body["error"], body["hint"]):
        assert sentence.endswith((".", "'")) or sentence[0] in "SC"


class TestTaken:
    @pytest.mark.parametrize(
        ("body", "content_type", "readings"),
        [
            ({"time": THEN, "t": 21.4, "rh": 48}, JSON, 2),
            ({"time": THEN, "t": {"value": 70.5, "unit": "F"}}, JSON, 1),
            ([{"time": THEN, "t": 1}, {"time": "2025-06-01T12:05:00Z", "t": 2}], JSON, 2),
            ({"observations": [{"age": 300, "t": 1}, {"age": 0, "t": 2, "rh": 3}]}, JSON, 3),
            (f"time={THEN}&t=21.4&rh=48", FORM, 2),
            (f"time={THEN}&t=21.4", "text/plain", 1),
            (f"time={THEN}&t=21.4\r\n", "", 1),
            ('{"t": 21.4}', "text/html", 1),
            ('\ufeff{"t": 21.4}', JSON, 1),
            ('[{"n": "t", "u": "Cel", "v": 21.4, "t": -60}]', JSON, 1),
        ],
    )
    def test_a_report_in_any_of_the_formats(self, post, body, content_type, readings):
        answer = post(body, content_type)
        assert (answer.status_code, answer.json()) == (
            202,
            {"status": 202, "readings": readings, "new": True, "refused": []},
        )
        assert Report.objects.get().problem == ""

    @pytest.mark.parametrize(
        # How many records of each example of RFC 8428, section 5.1, hold a number or a boolean.
        ("example", "readings"),
        [
            ("SINGLE", 1),
            ("MULTIPLE_NOW", 2),
            ("MULTIPLE_TIMES", 7),
            ("STREAM", 9),
            ("MEASUREMENTS", 13),
            ("RESOLVED", 13),
            ("COLLECTION", 4),
            ("THERMOSTAT", 3),
            ("LIGHTS", 4),
        ],
    )
    def test_the_examples_of_rfc_8428(self, post, example, readings):
        answer = post(getattr(rfc8428, example), SENML)
        assert (answer.status_code, answer.json()["readings"], answer.json()["refused"]) == (
            202,
            readings,
            [],
        )

    def test_text_and_data_in_senml_are_told_and_the_rest_is_taken(self, post):
        said = post(rfc8428.DATA_TYPES, SENML).json()
        assert said["readings"] == 2 and len(said["refused"]) == 2

    def test_a_query_string_without_a_body(self, post):
        answer = post(b"", query="?t=21.4&rh=48")
        assert (answer.status_code, answer.json()["readings"]) == (202, 2)

    def test_names_beyond_ascii_in_a_bare_query_string(self, post):
        post(b"", query="?température=21.4")
        assert bytes(Report.objects.get().body).decode().startswith("temp")

    def test_a_channel_nobody_knows_is_kept(self, post):
        assert post({"time": THEN, "soil": 12.5}).status_code == 202
        assert b"soil" in bytes(Report.objects.get().body)

    def test_what_arrives_is_kept_to_the_byte(self, post):
        body = b' {"time":"2025-06-01T12:00:00Z",\t"t" : 21.40 }\n'
        post(body)
        assert bytes(Report.objects.get().body) == body

    def test_the_mark_of_its_work_is_stored_with_it(self, post):
        post({"time": THEN, "t": 21.4})
        noon = int(datetime(2025, 6, 1, 12, tzinfo=UTC).timestamp())
        assert list(Work.objects.values_list("stage", "block")) == [(Work.Stage.NORMALISE, noon)]

    def test_a_report_of_missing_values_only_is_a_sign_of_life(self, post):
        assert post({"t": None, "rh": ""}).json()["readings"] == 0
        assert Report.objects.count() == 1

    @pytest.mark.parametrize("value", ["1e300", "-1e308", "9" * 300, "0.1e-320"])
    def test_a_huge_or_tiny_number_is_a_number(self, post, value):
        assert post(f'{{"time": "{THEN}", "t": {value}}}').json()["readings"] == 1

    def test_chunks_without_a_length_are_read_where_the_server_ends_them(self, post):
        body = b'{"t": 21.4}'
        answer = post(
            b"",
            headers={},
            **{
                "wsgi.input": io.BytesIO(body),
                "wsgi.input_terminated": True,
                "HTTP_TRANSFER_ENCODING": "chunked",
                "HTTP_AUTHORIZATION": "Bearer " + DeviceKey.issue(Station.objects.get())[1],
            },
        )
        assert answer.status_code == 202 and bytes(Report.objects.get().body) == body


class TestOnlyOnce:
    def test_the_same_report_again_is_acknowledged_and_not_stored(self, post):
        answers = [post({"time": THEN, "t": 21.4}).json()["new"] for _ in range(3)]
        assert answers == [True, False, False] and Report.objects.count() == 1

    def test_a_board_without_a_clock_that_repeats_itself_at_once(self, post):
        assert [post("t=21.4", FORM).json()["new"] for _ in range(2)] == [True, False]

    def test_the_same_text_of_two_stations_is_two_reports(self, post, station):
        neighbour = Station.objects.create(household=station.household, name="Shed")
        _, key = DeviceKey.issue(neighbour)
        post("t=21.4", FORM)
        assert post("t=21.4", FORM, headers={"X-Device-Key": key}).json()["new"]

    def test_nothing_is_acknowledged_when_the_work_cannot_be_marked(self, post, monkeypatch):
        def fails(*_: object) -> None:
            raise RuntimeError("power cut")

        monkeypatch.setattr(work, "mark_reports", fails)
        assert post({"time": THEN, "t": 21.4}).status_code == 500
        assert not Report.objects.exists()

    def test_a_database_that_is_away_asks_the_board_to_keep_its_report(self, post, monkeypatch):
        def locked(*_: object) -> None:
            raise OperationalError("database is locked")

        monkeypatch.setattr(receive.Report, "keep", locked)
        answer = post({"time": THEN, "t": 21.4})
        assert_refused(answer, 503, "send it again later")
        assert int(answer["Retry-After"]) > 0 and not Report.objects.exists()


class TestKeys:
    @pytest.mark.parametrize("scheme", ["Bearer ", "bearer ", "Bearer  "])
    def test_a_key_in_the_authorization_header(self, post, key, scheme):
        assert post("t=1", FORM, headers={"Authorization": scheme + key}).status_code == 202

    @pytest.mark.parametrize(
        ("body", "content_type", "query", "left"),
        [
            ("key=KEY&t=1", FORM, "", b"t=1"),
            ("t=1&key=KEY", FORM, "", b"t=1"),
            ("t=1&key=KEY&rh=2", FORM, "", b"t=1&rh=2"),
            ("t=1&key=KEY\n", "text/plain", "", b"t=1"),
            ("t=1", FORM, "?key=KEY", b"t=1"),
            ("", FORM, "?key=KEY&t=1", b"t=1"),
            ('{"key": "KEY", "t": 1}', JSON, "", b'{"key": "", "t": 1}'),
            (
                '{"observations": [{"t": 1}], "key":"KEY"}',
                JSON,
                "",
                b'{"observations": [{"t": 1}], "key":""}',
            ),
            ('{"key": "KEY", "t": ', JSON, "", b'{"key": "", "t": '),
        ],
    )
    def test_a_key_inside_a_report_is_used_and_never_stored(self, post, key, body, content_type, query, left):
        post(body.replace("KEY", key), content_type, query.replace("KEY", key), headers={})
        assert bytes(Report.objects.get().body) == left

    def test_a_key_in_both_places_is_not_stored_either(self, post, key):
        post(f"t=1&key={key}", "text/plain")
        assert key.encode() not in bytes(Report.objects.get().body)

    def test_without_a_key(self, post):
        answer = post({"t": 1}, headers={})
        assert_refused(answer, 401, "Authorization: Bearer")
        assert answer["WWW-Authenticate"] == "Bearer"

    @pytest.mark.parametrize("wrong", ["nonsense", "x" * 5000, "caf\u00e9", "' OR 1=1 --"])
    def test_a_key_no_station_has(self, post, wrong):
        assert_refused(post({"t": 1}, headers={"Authorization": f"Bearer {wrong}"}), 401, "No station")

    def test_a_revoked_key_and_the_new_one_beside_it(self, post, station, key):
        _, new = DeviceKey.issue(station)
        station.keys.filter(ending=key[-4:]).update(revoked_at=datetime.now(UTC))
        assert_refused(post({"t": 1}), 403, "revoked", "new key")
        assert post({"t": 1}, headers={"Authorization": f"Bearer {new}"}).status_code == 202

    def test_a_retired_station(self, post, station):
        Station.objects.filter(pk=station.pk).update(state="retired")
        assert_refused(post({"t": 1}), 403, "retired")
        assert not Report.objects.exists()

    @pytest.mark.parametrize("state", ["draft", "awaiting", "paused"])
    def test_a_station_that_does_not_count_yet_may_send(self, post, station, state):
        Station.objects.filter(pk=station.pk).update(state=state)
        assert post({"t": 1}).status_code == 202


class TestRefused:
    @pytest.mark.parametrize(
        ("body", "content_type", "words"),
        [
            ("", JSON, "empty"),
            ("hello", JSON, "called JSON but opens otherwise"),
            ("hello", "text/plain", "name=value"),
            ('{"t": 21.4', JSON, "breaks off at character"),
            ("[]", JSON, "no observation"),
            ("{}", JSON, "no channel is named"),
            ('{"t": "warm"}', JSON, "is not a number"),
            ('{"t": NaN}', JSON, "not a finite number"),
            ('{"t": 1e999}', JSON, "not a finite number"),
            ('{"t": ' + "9" * 5000 + "}", JSON, "too many digits"),
            ("[" * 100_000, JSON, "nests too deeply"),
            ('{"t\\u0000": 1}', JSON, "printable"),
            ("t%00=1", FORM, "printable"),
            (b"\x00\x00\x00", JSON, "opens otherwise"),
            (bytes(range(256)), "application/octet-stream", "not text in UTF-8"),
            (b"\xff\xfe{\x00", JSON, "not text in UTF-8"),
            (f"time={THEN}&age=5&t=1", FORM, "both a time and an age"),
            ("time=2025-06-01T12:00:00&t=1", FORM, "has no zone"),
            ("t=1&t=2", FORM, "given twice"),
            ('[{"n": "t", "v": 1, "bver": 99}]', SENML, "version"),
        ],
    )
    def test_what_cannot_be_understood_is_kept_and_its_keeper_told(self, post, body, content_type, words):
        answer = post(body, content_type)
        assert_refused(answer, 400, words)
        report, notice = Report.objects.get(), Notice.objects.get()
        assert report.problem and bytes(report.body) == (body if isinstance(body, bytes) else body.encode())
        assert words in notice.words and not Work.objects.exists()

    def test_a_keeper_is_told_of_the_same_once_a_day(self, post):
        for body in ("hello", "hello you", "hello again"):
            post(body, "text/plain")
        assert (Report.objects.count(), Notice.objects.count()) == (3, 1)

    @pytest.mark.parametrize(
        ("time_said", "words"),
        [("1999-12-31T23:59:59Z", "before the year 2000"), (86400, "before the year 2000"), (0, "before")],
    )
    def test_a_time_before_2000(self, post, time_said, words):
        assert_refused(post({"time": time_said, "t": 1}), 422, words, "clock")
        assert Report.objects.get().problem

    def test_a_time_more_than_ten_minutes_ahead(self, post):
        assert_refused(
            post({"time": int(time.time()) + 660, "t": 1}), 422, "11 minutes from now; 10 is the most"
        )
        assert post({"time": int(time.time()) + 580, "t": 1}).status_code == 202

    def test_one_absurd_time_among_sound_ones_costs_only_itself(self, post):
        said = post([{"time": THEN, "t": 1}, {"time": 0, "t": 2}]).json()
        assert (said["status"], said["readings"]) == (202, 1)
        assert "before the year 2000" in said["refused"][0]
        noon = int(datetime(2025, 6, 1, 12, tzinfo=UTC).timestamp())
        assert Report.objects.values_list("first_at", "last_at").get() == (noon, noon)

    def test_a_board_that_counts_milliseconds_is_told_so(self, post):
        assert_refused(post({"time": 1_748_779_200_000, "t": 1}), 400, "not milliseconds")

    def test_too_large(self, post):
        assert_refused(post(b" " * (MOST_BYTES + 1)), 413, f"{MOST_BYTES} is the most", "in parts")
        assert not Report.objects.exists()

    @pytest.mark.parametrize("length", [str(MOST_BYTES + 1), "9" * 5000])
    def test_a_length_that_is_too_large_is_refused_before_it_is_read(self, post, length):
        class Unread(io.RawIOBase):
            def read(self, size: int = -1) -> bytes:
                raise AssertionError("the body was read")

        assert_refused(post(b"", CONTENT_LENGTH=length, **{"wsgi.input": Unread()}), 413)

    def test_endless_chunks_are_read_no_further_than_the_limit(self, post):
        class Endless(io.RawIOBase):
            given = 0

            def read(self, size: int = -1) -> bytes:
                assert 0 < size <= MOST_BYTES + 1
                Endless.given += size
                return b" " * size

        chunked = {"wsgi.input_terminated": True, "HTTP_TRANSFER_ENCODING": "chunked"}
        assert_refused(post(b"", **chunked, **{"wsgi.input": Endless()}), 413)
        assert Endless.given == MOST_BYTES + 1

    def test_chunks_that_the_server_does_not_end(self, post):
        assert_refused(post(b"", HTTP_TRANSFER_ENCODING="chunked"), 411, "Content-Length")

    def test_too_many_readings(self, post):
        many = {"time": THEN} | {f"c{i}": i for i in range(MOST_READINGS + 1)}
        assert_refused(post(many), 413, f"{MOST_READINGS + 1} readings", "in parts")
        assert Report.objects.get().problem

    def test_too_often(self, post, settings):
        settings.REPORTS_PER_MINUTE = 3
        answers = [post({"time": THEN, "t": i}) for i in range(5)]
        taken = [a.status_code for a in answers].count(202)
        assert 3 <= taken <= 4  # a new minute may begin on the way
        if taken == 3:
            assert_refused(answers[-1], 429, "More than 3 reports in a minute", "Wait")
            assert 0 < int(answers[-1]["Retry-After"]) <= 60

    @pytest.mark.parametrize("method", ["get", "head", "put", "delete", "patch", "options"])
    def test_any_other_method(self, client, method):
        answer = getattr(client, method)("/api/reports")
        assert (answer.status_code, answer["Allow"]) == (405, "POST")
        if method != "head":
            assert_refused(answer, 405, "sent with POST")
