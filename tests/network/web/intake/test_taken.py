"""Reports in every format, stored to the byte with the mark of their work."""

import io
from datetime import UTC, datetime

import pytest

from network.models import Report, Work
from network.pipeline.ledger.blocks import block_of
from stations.models import Channel, DeviceKey, Station
from tests.network.web.intake.conftest import FORM, JSON, SENML, THEN
from tests.wire import rfc8428


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
def test_a_report_in_any_of_the_formats(post, body, content_type, readings):
    answer = post(body, content_type)
    assert (answer.status_code, answer.json()) == (
        202,
        {"status": 202, "readings": readings, "new": True, "refused": [], "unknown": []},
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
def test_the_examples_of_rfc_8428(post, example, readings):
    answer = post(getattr(rfc8428, example), SENML)
    assert (answer.status_code, answer.json()["readings"], answer.json()["refused"]) == (
        202,
        readings,
        [],
    )


def test_the_example_of_rfc_8428_in_cbor_is_taken_and_kept_to_the_byte(post):
    answer = post(rfc8428.MULTIPLE_TIMES_IN_CBOR, "application/senml+cbor")
    assert (answer.status_code, answer.json()["readings"]) == (202, 7)
    assert bytes(Report.objects.get().body) == rfc8428.MULTIPLE_TIMES_IN_CBOR


def test_text_and_data_in_senml_are_told_and_the_rest_is_taken(post):
    said = post(rfc8428.DATA_TYPES, SENML).json()
    assert said["readings"] == 2 and len(said["refused"]) == 2


def test_a_query_string_without_a_body(post):
    answer = post(b"", query="?t=21.4&rh=48")
    assert (answer.status_code, answer.json()["readings"]) == (202, 2)


def test_names_beyond_ascii_in_a_bare_query_string(post):
    post(b"", query="?température=21.4")
    assert bytes(Report.objects.get().body).decode().startswith("temp")


def test_a_channel_nobody_knows_is_kept_and_the_board_is_told(post):
    answer = post({"time": THEN, "soil": 12.5})
    assert answer.status_code == 202
    assert b"soil" in bytes(Report.objects.get().body)
    (sentence,) = answer.json()["unknown"]
    assert sentence.startswith("'soil' is not a channel of this station: it is kept, and not used.")
    assert "Its channels are p, rain, rh, t." in sentence


def test_a_misspelt_channel_is_told_with_the_one_that_was_meant(post, station):
    Channel.objects.filter(station=station, name="t").update(name="temperature")
    (sentence,) = post({"tempertaure": 12.5, "rh": 60}).json()["unknown"]
    assert sentence.endswith("Did you mean 'temperature'?")
    assert post({"temperature": 12.5, "Rain ": 0}).json()["unknown"][0].endswith("Did you mean 'rain'?")
    assert "Did you mean" not in post({"temperature": 12.5, "temperature2": 13}).json()["unknown"][0]


def test_a_channel_described_a_moment_ago_is_known(post, station):
    assert post({"soil": 12.5}).json()["unknown"]
    old = station.channels.get(name="rh")
    Channel.objects.create(
        station=station, instrument=old.instrument, name="soil", unit="%", begins_at=old.begins_at
    )
    assert not post({"soil": 12.6}).json()["unknown"]
    assert not post([{"bn": "urn:dev:ow:10e2073a01080063:", "n": "soil", "v": 12.6}], SENML).json()["unknown"]


def test_what_arrives_is_kept_to_the_byte(post):
    body = b' {"time":"2025-06-01T12:00:00Z",\t"t" : 21.40 }\n'
    post(body)
    assert bytes(Report.objects.get().body) == body


def test_the_mark_of_its_work_is_stored_with_it(post):
    post({"time": THEN, "t": 21.4})
    noon = int(datetime(2025, 6, 1, 12, tzinfo=UTC).timestamp())
    assert list(Work.objects.values_list("stage", "block")) == [(Work.Stage.NORMALISE, block_of(noon))]


def test_a_report_of_missing_values_only_is_a_sign_of_life(post):
    assert post({"t": None, "rh": ""}).json()["readings"] == 0
    assert Report.objects.count() == 1


@pytest.mark.parametrize("value", ["1e300", "-1e308", "9" * 300, "0.1e-320"])
def test_a_huge_or_tiny_number_is_a_number(post, value):
    assert post(f'{{"time": "{THEN}", "t": {value}}}').json()["readings"] == 1


def test_chunks_without_a_length_are_read_where_the_server_ends_them(post):
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
