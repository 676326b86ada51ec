"""SenML against the examples and the sentences of RFC 8428."""

import json
from datetime import UTC, datetime

import pytest

from network.wire.message import Message, NotUnderstood, Said, decode
from tests.wire import rfc8428

NOW = 1_780_315_200  # 2026-06-01T12:00:00Z


def read(pack: object) -> Message:
    text = pack if isinstance(pack, str) else json.dumps(pack)
    return decode(text.encode(), "application/senml+json", NOW)


def epoch(text: str) -> int:
    return int(datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp())


def test_a_single_data_point_without_a_time_was_measured_now():
    assert read(rfc8428.SINGLE) == Message([Said("urn:dev:ow:10e2073a01080063", 23.1, "Cel", NOW)], True, [])


def test_a_base_name_is_prepended_to_the_names():
    assert read(rfc8428.MULTIPLE_NOW).said == [
        Said("urn:dev:ow:10e2073a01080063:voltage", 120.1, "V", NOW),
        Said("urn:dev:ow:10e2073a01080063:current", 1.2, "A", NOW),
    ]


def test_times_are_added_to_the_base_time_and_units_override_the_base_unit():
    # 5.1.2: "current at Tue Jun 8 18:01:16.001 UTC 2010 and at each second for the previous 5 seconds"
    end = epoch("2010-06-08T18:01:16")
    current = "urn:dev:ow:10e2073a0108006:current"
    found = read(rfc8428.MULTIPLE_TIMES)
    assert not found.clockless
    assert found.said == [
        Said("urn:dev:ow:10e2073a0108006:voltage", 120.1, "V", end),
        Said(current, 1.2, "A", end - 5),
        Said(current, 1.3, "A", end - 4),
        Said(current, 1.4, "A", end - 3),
        Said(current, 1.5, "A", end - 2),
        Said(current, 1.6, "A", end - 1),
        Said(current, 1.7, "A", end),
    ]


def test_a_name_may_be_left_out_where_the_base_name_is_enough():
    found = read(rfc8428.STREAM).said
    assert {said.name for said in found} == {"urn:dev:ow:10e2073a01080063"}
    assert [said.value for said in found] == [21.2, 21.3, 21.4, 21.4, 21.5, 21.5, 21.5, 21.6, 21.7]
    # "starting at Mon Oct 31 13:24:24 UTC 2011", section 5.1.3, which has the same base time.
    assert [said.at - epoch("2011-10-31T13:24:24") for said in found] == list(range(0, 90, 10))


def test_multiple_measurements_resolve_as_the_rfc_prints_them():
    resolved = [Said(r["n"], r["v"], r["u"], int(r["t"])) for r in json.loads(rfc8428.RESOLVED)]
    assert read(rfc8428.MEASUREMENTS) == Message(resolved, False, [])


def test_resolved_records_resolve_to_themselves():
    assert read(rfc8428.RESOLVED) == read(rfc8428.MEASUREMENTS)


def test_booleans_become_numbers_while_text_and_data_are_refused_with_a_sentence():
    found = read(rfc8428.DATA_TYPES)
    assert [said[:3] for said in found.said] == [
        ("urn:dev:ow:10e2073a01080063:temp", 23.1, "Cel"),
        ("urn:dev:ow:10e2073a01080063:open", 0.0, ""),
    ]
    assert found.refused == [
        f"Record {place} was left out: its value is text or data, and only numbers and booleans are kept."
        for place in (2, 4)
    ]


def test_a_record_takes_each_base_field_from_the_last_record_that_has_it():
    # 5.1.6: "the Base Name from the 3rd record but the Base Time from the first record"
    at = epoch("2011-10-31T16:27:09")
    assert read(rfc8428.COLLECTION).said == [
        Said("2001:db8::2/temperature", 25.2, "Cel", at),
        Said("2001:db8::2/humidity", 30, "%RH", at),
        Said("2001:db8::1/temperature", 12.3, "Cel", at),
        Said("2001:db8::1/humidity", 67, "%RH", at),
    ]


def test_a_record_of_base_fields_alone_only_governs_the_rest():
    found = read(rfc8428.THERMOSTAT)
    assert found.refused == []
    assert [(said.name[-5:], said.value, said.unit) for said in found.said] == [
        (":temp", 23.1, "Cel"),
        (":heat", 1, "/"),
        ("3:fan", 0, "/"),
    ]


def test_times_are_rounded_to_the_second():
    assert {said.at for said in read(rfc8428.LIGHTS).said} == {1320078429}


@pytest.mark.parametrize(
    ("time", "at"),
    # Section 4.5.3: less than 2**28 counts from now; 2**28 is 1978-07-04 21:24:16 UTC.
    [(2**28, epoch("1978-07-04T21:24:16")), (2**28 - 1, NOW + 2**28 - 1), (0, NOW), (-60, NOW - 60)],
)
def test_small_times_count_from_now(time, at):
    found = read([{"n": "temp", "v": 1, "t": time}])
    assert found.said[0].at == at
    assert found.clockless == (time < 2**28)


def test_base_value_is_added_and_stands_for_a_missing_value():
    # Section 4.5.4: a missing base value or value counts as zero.
    found = read([{"bn": "a", "bv": 20, "v": 1.5}, {"n": "b", "v": -1}, {"n": "c", "t": 0}])
    assert [(said.name, said.value) for said in found.said] == [("a", 21.5), ("ab", 19), ("ac", 20)]


def test_a_sum_is_in_its_unit_times_seconds():
    # Section 4.2; the way UCUM multiplies units.
    found = read([{"bn": "a", "bu": "W", "bs": 100, "s": 20}, {"n": "b", "s": 1, "v": 3}])
    assert [said[:3] for said in found.said] == [("a", 120, "W.s"), ("ab", 3, "W")]


@pytest.mark.parametrize("version", [1, 5, 10, 26])  # 26: RFC 9100, version 10 with secondary units
def test_known_versions_are_read(version):
    assert read([{"bver": version, "n": "temp", "v": 1}]).said


@pytest.mark.parametrize("version", [0, 11, 27, 42, "10", None, True, 1e400])
def test_other_versions_must_not_be_used(version):
    with pytest.raises(NotUnderstood):
        read([{"bver": version, "n": "temp", "v": 1}])


def test_a_pack_has_one_version():
    with pytest.raises(NotUnderstood, match="differ in bver"):
        read([{"bver": 5, "n": "temp", "v": 1}, {"bver": 10, "n": "temp", "v": 1}])


def test_unknown_fields_are_ignored_unless_their_label_ends_in_an_underscore():
    # Section 4.4.
    assert read([{"n": "temp", "v": 1, "battery": "full", "ut": 60}]).said
    with pytest.raises(NotUnderstood, match="'must_' must be understood"):
        read([{"n": "temp", "v": 1}, {"n": "temp", "v": 1, "must_": 3}])


@pytest.mark.parametrize(
    ("record", "why"),
    [
        ({"v": 1}, "is not a SenML name"),
        ({"n": "-temp", "v": 1}, "is not a SenML name"),
        ({"n": "temp out", "v": 1}, "is not a SenML name"),
        ({"n": "temp\n", "v": 1}, "is not a SenML name"),
        ({"n": 7, "v": 1}, "its n is 7, which is not text"),
        ({"n": "temp"}, "it has no value"),
        ({"n": "temp", "v": 1, "vb": True}, "more than one value"),
        ({"n": "temp", "vs": "1", "vb": True}, "more than one value"),
        ({"n": "temp", "vb": 1}, "its boolean value is 1"),
        ({"n": "temp", "v": "21"}, "its v is '21', which is not a number"),
        ({"n": "temp", "v": True}, "its v is True, which is not a number"),
        ({"n": "temp", "v": float("nan")}, "not a finite number"),
        ({"n": "temp", "v": 10**400}, "too many digits"),
        ({"n": "temp", "v": 1, "t": "now"}, "its t is 'now', which is not a number"),
        ({"n": "temp", "v": 1, "t": 1.78e12}, "milliseconds"),
        ({"n": "temp", "v": 1, "u": None}, "its u is None, which is not text"),
        ({"n": "temp", "v": 1, "u": "\ud800"}, "is not a unit"),
        ("temp", "it is not an object"),
    ],
)
def test_a_record_that_cannot_be_read_is_refused_and_the_others_stay(record, why):
    found = read([record, {"n": "hum", "v": 2}])
    assert [said.name for said in found.said] == ["hum"]
    assert len(found.refused) == 1
    assert found.refused[0].startswith("Record 1 was left out: ")
    assert why in found.refused[0]


@pytest.mark.parametrize("label", ["bn", "bt", "bu", "bv", "bs"])
def test_a_base_field_that_cannot_be_read_spoils_the_pack(label):
    with pytest.raises(NotUnderstood, match=f"The base field {label} is"):
        read([{"n": "a", "v": 1}, {label: [], "n": "b", "v": 1}])


def test_null_is_a_sensor_that_gave_nothing():
    # Not in the RFC: common practice of small boards.
    assert read([{"n": "temp", "v": None}, {"n": "hum", "v": 2}]).refused == []


@pytest.mark.parametrize("pack", [{}, [], {"n": "temp", "v": 1}])
def test_a_pack_is_a_list_of_records(pack):
    with pytest.raises(NotUnderstood, match="list of records"):
        read(pack)
