"""What cannot be taken: the right status, a sentence, and what to change."""

import io
import time
from datetime import UTC, datetime

import pytest

from network.models import Notice, Report, Work
from network.wire.limits import MOST_BYTES, MOST_READINGS
from tests.network.web.intake.conftest import FORM, JSON, SENML, THEN, assert_refused


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
def test_what_cannot_be_understood_is_kept_and_its_keeper_told(post, body, content_type, words):
    answer = post(body, content_type)
    assert_refused(answer, 400, words)
    report, notice = Report.objects.get(), Notice.objects.get()
    assert report.problem and bytes(report.body) == (body if isinstance(body, bytes) else body.encode())
    assert words in notice.words and not Work.objects.exists()


def test_a_keeper_is_told_of_the_same_once_a_day(post):
    for body in ("hello", "hello you", "hello again"):
        post(body, "text/plain")
    assert (Report.objects.count(), Notice.objects.count()) == (3, 1)


@pytest.mark.parametrize(
    ("time_said", "words"),
    [("1999-12-31T23:59:59Z", "before the year 2000"), (86400, "before the year 2000"), (0, "before")],
)
def test_a_time_before_2000(post, time_said, words):
    assert_refused(post({"time": time_said, "t": 1}), 422, words, "clock")
    assert Report.objects.get().problem


def test_a_time_more_than_ten_minutes_ahead(post):
    assert_refused(post({"time": int(time.time()) + 660, "t": 1}), 422, "11 minutes from now; 10 is the most")
    assert post({"time": int(time.time()) + 580, "t": 1}).status_code == 202


def test_one_absurd_time_among_sound_ones_costs_only_itself(post):
    said = post([{"time": THEN, "t": 1}, {"time": 0, "t": 2}]).json()
    assert (said["status"], said["readings"]) == (202, 1)
    assert "before the year 2000" in said["refused"][0]
    noon = int(datetime(2025, 6, 1, 12, tzinfo=UTC).timestamp())
    assert Report.objects.values_list("first_at", "last_at").get() == (noon, noon)


def test_a_board_that_counts_milliseconds_is_told_so(post):
    assert_refused(post({"time": 1_748_779_200_000, "t": 1}), 400, "not milliseconds")


def test_too_large(post):
    assert_refused(post(b" " * (MOST_BYTES + 1)), 413, f"{MOST_BYTES} is the most", "in parts")
    assert not Report.objects.exists()


@pytest.mark.parametrize("length", [str(MOST_BYTES + 1), "9" * 5000])
def test_a_length_that_is_too_large_is_refused_before_it_is_read(post, length):
    class Unread(io.RawIOBase):
        def read(self, size: int = -1) -> bytes:
            raise AssertionError("the body was read")

    assert_refused(post(b"", CONTENT_LENGTH=length, **{"wsgi.input": Unread()}), 413)


def test_endless_chunks_are_read_no_further_than_the_limit(post):
    class Endless(io.RawIOBase):
        given = 0

        def read(self, size: int = -1) -> bytes:
            assert 0 < size <= MOST_BYTES + 1
            Endless.given += size
            return b" " * size

    chunked = {"wsgi.input_terminated": True, "HTTP_TRANSFER_ENCODING": "chunked"}
    assert_refused(post(b"", **chunked, **{"wsgi.input": Endless()}), 413)
    assert Endless.given == MOST_BYTES + 1


def test_chunks_that_the_server_does_not_end(post):
    assert_refused(post(b"", HTTP_TRANSFER_ENCODING="chunked"), 411, "Content-Length")


def test_too_many_readings(post):
    many = {"time": THEN} | {f"c{i}": i for i in range(MOST_READINGS + 1)}
    assert_refused(post(many), 413, f"{MOST_READINGS + 1} readings", "in parts")
    assert Report.objects.get().problem


def test_too_often(post, settings):
    settings.REPORTS_PER_MINUTE = 3
    answers = [post({"time": THEN, "t": i}) for i in range(5)]
    taken = [a.status_code for a in answers].count(202)
    assert 3 <= taken <= 4  # a new minute may begin on the way
    if taken == 3:
        assert_refused(answers[-1], 429, "More than 3 reports in a minute", "Wait")
        assert 0 < int(answers[-1]["Retry-After"]) <= 60


@pytest.mark.parametrize("method", ["get", "head", "put", "delete", "patch", "options"])
def test_any_other_method(client, method):
    answer = getattr(client, method)("/api/reports")
    assert (answer.status_code, answer["Allow"]) == (405, "POST")
    if method != "head":
        assert_refused(answer, 405, "sent with POST")
