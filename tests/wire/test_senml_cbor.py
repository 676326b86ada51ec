"""SenML in CBOR: the RFC's own bytes, and bytes that are none."""

from contextlib import suppress

import cbor2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from network.wire.message import NotUnderstood, decode
from tests.wire import rfc8428

NOW = 1276020080.0
CBOR = "application/senml+cbor"


def test_the_example_of_rfc_8428_says_the_same_in_cbor_as_in_json():
    # RFC 8428, section 6, is the second example of section 5.1.2 in another form.
    message = decode(rfc8428.MULTIPLE_TIMES_IN_CBOR, CBOR, NOW)
    assert message == decode(rfc8428.MULTIPLE_TIMES.encode(), "application/senml+json", NOW)
    assert [round(said.value, 1) for said in message.said] == [120.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7]


@pytest.mark.parametrize("kind", ["", "application/octet-stream", "application/json"])
def test_the_body_is_believed_before_its_content_type(kind):
    assert len(decode(rfc8428.MULTIPLE_TIMES_IN_CBOR, kind, NOW).said) == 7
    assert len(decode(b"\xd9\xd9\xf7" + rfc8428.MULTIPLE_TIMES_IN_CBOR, kind, NOW).said) == 7


def test_json_under_the_name_of_cbor_is_read_too():
    assert len(decode(rfc8428.MULTIPLE_TIMES.encode(), CBOR, NOW).said) == 7


def test_half_precision_and_decimal_fractions_are_numbers():
    # RFC 8428, section 6: any form of a number that CBOR has; 0xf93e00 is 1.5 (RFC 8949, appendix A).
    assert decode(bytes.fromhex("81a200617402f93e00"), CBOR, NOW).said[0].value == 1.5
    # Tag 4, [-2, 27315]: 273.15 (RFC 8949, section 3.4.4).
    assert decode(bytes.fromhex("81a200617402c48221196ab3"), CBOR, NOW).said[0].value == 273.15


def test_a_relative_time_is_an_age():
    message = decode(cbor2.dumps([{0: "temp", 2: 21.5, 6: -300}]), CBOR, NOW)
    assert (message.said[0].at, message.clockless) == (int(NOW) - 300, True)


def test_a_field_that_must_be_understood_and_is_not():
    with pytest.raises(NotUnderstood, match="must be understood"):
        decode(cbor2.dumps([{0: "temp", 2: 21.5, "mtu_": 1}]), CBOR, NOW)


@pytest.mark.parametrize(
    "body", [rfc8428.MULTIPLE_TIMES_IN_CBOR[:40], b"\x80", b"\x81\x01", b"\x9f", b"\x81" * 50_000]
)
def test_what_cannot_be_used_is_told(body):
    with pytest.raises(NotUnderstood):
        decode(body, CBOR, NOW)


@given(st.binary(max_size=60))
def test_no_bytes_do_more_than_to_be_refused(tail):
    with suppress(NotUnderstood):
        decode(b"\x82" + tail, CBOR, NOW)
