"""The way in: whatever arrives, a message comes out or a sentence says why not."""

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from network.wire.limits import malformed
from network.wire.message import FORMATS, Message, NotUnderstood, Said, decode
from network.wire.said import LATEST, MOST_SENTENCES

NOW = 1_780_315_200  # 2026-06-01T12:00:00Z

CONTENT_TYPES = st.sampled_from([*FORMATS, "", "application/octet-stream", "application/JSON; charset=utf-8"])
LABELS = ["n", "u", "v", "vb", "vs", "vd", "s", "t", "ut", "bn", "bt", "bu", "bv", "bs", "bver"]
NAMES = st.sampled_from([*LABELS, "time", "age", "key", "observations", "value", "unit"]) | st.text(
    max_size=5
)
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20) | st.datetimes().map(str),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(NAMES, inner, max_size=5),
    max_leaves=15,
)


def holds_its_promise(body: bytes, content_type: str) -> None:
    try:
        found = decode(body, content_type, NOW)
    except NotUnderstood as problem:
        assert problem.sentence.endswith(".")
        assert problem.hint.endswith(".")
        assert malformed(problem).error.isprintable()
        return
    for said in found.said:
        assert said.name.isprintable()
        assert said.unit.isprintable()
        assert math.isfinite(said.value)
        assert 0 <= said.at <= LATEST
    assert all(sentence.isprintable() for sentence in found.refused)
    assert len(found.refused) <= MOST_SENTENCES + 1


@given(st.binary(max_size=200), CONTENT_TYPES)
def test_arbitrary_bytes_are_read_or_not_understood(body, content_type):
    holds_its_promise(body, content_type)


@given(JSON, CONTENT_TYPES)
def test_arbitrary_json_is_read_or_not_understood(found, content_type):
    holds_its_promise(json.dumps(found).encode(), content_type)


@given(st.lists(st.tuples(NAMES, st.text(max_size=8)), max_size=5), CONTENT_TYPES)
def test_arbitrary_pairs_are_read_or_not_understood(pairs, content_type):
    text = "&".join(f"{name}={value}" for name, value in pairs)
    holds_its_promise(text.encode(errors="replace"), content_type)


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"\xff\xfe",
        b"[" * 100_000,
        b'{"temp": 1',
        b"[" + b"9" * 5000 + b"]",
        b'{"temp": ' + b"9" * 5000 + b"}",
    ],
)
def test_what_is_broken_is_not_understood(body):
    with pytest.raises(NotUnderstood):
        decode(body, "application/json", NOW)


@pytest.mark.parametrize("report", [b'{"time": %s, "temp": 1}', b'[{"n": "temp", "v": %s}]', b'{"temp": %s}'])
def test_no_depth_of_nesting_does_harm(report):
    for depth in range(700, 1010):  # about where Python's own limit lies, seen from within a test
        holds_its_promise(report % (b"[" * depth + b"]" * depth), "application/json")


SAID = st.lists(
    st.builds(
        Said,
        name=st.from_regex(r"[A-Za-z0-9][A-Za-z0-9\-:./_]{0,20}", fullmatch=True).filter(
            lambda name: name not in ("time", "age", "key", "observations")
        ),
        value=st.floats(allow_nan=False, allow_infinity=False),
        unit=st.sampled_from(["", "Cel", "%", "°F", "m/s"]),
        at=st.integers(2**28, LATEST),
    ),
    min_size=1,
)


@given(SAID)
def test_what_is_written_as_senml_is_read_back(said):
    pack = [{"n": one.name, "v": one.value, "u": one.unit, "t": one.at} for one in said]
    assert decode(json.dumps(pack).encode(), "application/senml+json", NOW) == Message(said, False, [])


@given(SAID)
def test_what_is_written_as_plain_json_is_read_back(said):
    batch = [{"time": one.at, one.name: {"value": one.value, "unit": one.unit}} for one in said]
    report = json.dumps({"observations": batch})
    assert decode(report.encode(), "application/json", NOW) == Message(said, False, [])


@pytest.mark.parametrize("content_type", ["application/json", "text/plain", "", "application/senml+json"])
def test_senml_is_known_by_its_records_whatever_it_is_called(content_type):
    pack = b'\xef\xbb\xbf [{"bn":"a:"},{"n":"temp","u":"Cel","v":21.4}]'
    assert decode(pack, content_type, NOW).said == [Said("a:temp", 21.4, "Cel", NOW)]


@pytest.mark.parametrize(
    "content_type", ["text/plain; charset=utf-8", "application/x-www-form-urlencoded", ""]
)
def test_json_sent_under_another_name_is_still_json(content_type):
    # Common practice: command-line clients call every body a form unless told otherwise.
    assert decode(b'{"temp": 21.4}', content_type, NOW).said == [Said("temp", 21.4, "", NOW)]
    assert decode(b"temp=21.4\r\n", content_type, NOW).said == [Said("temp", 21.4, "", NOW)]


def test_nobody_has_to_read_a_thousand_sentences():
    found = decode(json.dumps([{"n": "a", "v": 1}] + [{"n": "a"}] * 1000).encode(), "application/json", NOW)
    assert len(found.refused) == MOST_SENTENCES + 1
    assert found.refused[-1] == "980 more could not be read."
