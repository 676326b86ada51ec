"""Plain JSON and query strings, as the hub promises them to whoever programs a board."""

import json
from zoneinfo import ZoneInfo

import pytest

from network.wire.message import Message, NotUnderstood, Said, decode

NOW = 1_780_315_200  # 2026-06-01T12:00:00Z
PARIS = ZoneInfo("Europe/Paris")


def read(report: object, zone: ZoneInfo | None = None, now: float = NOW) -> Message:
    return decode(json.dumps(report).encode(), "application/json", now, zone)


def form(text: str, zone: ZoneInfo | None = None) -> Message:
    return decode(text.encode(), "application/x-www-form-urlencoded", NOW, zone)


def test_values_come_bare_or_with_a_unit():
    found = read(
        {"time": "2026-06-01T11:55:00Z", "temp": 21.4, "hum": {"value": 40, "unit": "%"}, "wet": True}
    )
    assert found == Message(
        [Said("temp", 21.4, "", NOW - 300), Said("hum", 40, "%", NOW - 300), Said("wet", 1, "", NOW - 300)],
        clockless=False,
        refused=[],
    )


@pytest.mark.parametrize(
    "time",
    [
        "2026-06-01T12:00:00Z",
        "2026-06-01T14:00:00+02:00",
        "2026-06-01 14:00",  # local, by the zone given
        "2026-06-01T12:00:00.4Z",
        NOW,
        str(NOW),
        NOW + 0.4,
    ],
)
def test_a_time_is_iso_8601_or_seconds_since_1970(time):
    found = read({"time": time, "temp": 1}, PARIS)
    assert found.said == [Said("temp", 1, "", NOW)]
    assert not found.clockless


def test_a_local_time_needs_a_zone():
    with pytest.raises(NotUnderstood, match="has no zone"):
        read({"time": "2026-06-01T14:00:00", "temp": 1})


@pytest.mark.parametrize(("arrived", "at"), [(1792888200, 1792888200), (1792891800, 1792891800)])
def test_in_the_hour_that_clocks_live_through_twice_receipt_tells_which(arrived, at):
    # Directive 2000/84/EC: summer time ends at 1:00 UTC on the last Sunday of October, 2026-10-25. In Paris,
    # 02:30 comes at 00:30Z (1792888200) and again at 01:30Z (1792891800).
    assert read({"time": "2026-10-25T02:30:00", "temp": 1}, PARIS, now=arrived + 4).said[0].at == at


def test_an_age_counts_back_from_receipt():
    assert read({"age": 90, "temp": 1}) == Message([Said("temp", 1, "", NOW - 90)], True, [])


def test_without_a_time_it_was_now():
    assert read({"temp": 1, "time": None}) == Message([Said("temp", 1, "", NOW)], True, [])


@pytest.mark.parametrize("wrap", [lambda batch: batch, lambda batch: {"key": "abc", "observations": batch}])
def test_a_buffered_batch_is_a_list_of_observations(wrap):
    found = read(wrap([{"age": 600, "temp": 1}, {"age": 300, "temp": 2}, {"temp": 3}]))
    assert [(said.value, NOW - said.at) for said in found.said] == [(1, 600), (2, 300), (3, 0)]


def test_one_bad_observation_does_not_spoil_the_batch():
    found = read({"observations": [{"time": "noon", "temp": 1}, 7, {"age": 0}, {"temp": 3}], "temp": 2})
    assert [said.value for said in found.said] == [3]
    assert found.refused == [
        "'temp' stands beside observations: put it inside each.",
        "In observation 1, nothing was kept: its time, 'noon', is not like 2026-06-01T12:00:00Z.",
        "In observation 2, nothing was kept: an observation must be an object of names and values.",
        "In observation 3, nothing was kept: no channel is named.",
    ]


@pytest.mark.parametrize(
    ("value", "why"),
    [
        (float("nan"), "not a finite number"),
        (float("inf"), "not a finite number"),
        (10**400, "not a finite number"),
        ("warm", "'warm' is not a number"),
        ("1_000", "'1_000' is not a number"),
        ("21,4", "'21,4' is not a number"),
        ([21.4], "is not a number"),
        ({"unit": "%"}, "an object needs a value"),
        ({"value": 1, "unit": 7}, "7 is not a unit"),
    ],
)
def test_what_is_not_a_number_is_refused_by_name(value, why):
    found = read({"temp": value, "hum": "40.5"})
    assert found.said == [Said("hum", 40.5, "", NOW)]
    assert len(found.refused) == 1
    assert found.refused[0].startswith("'temp' was left out: ")
    assert why in found.refused[0]


def test_null_is_missing_and_nothing_is_said_of_it():
    assert read({"temp": None, "hum": {"value": None, "unit": "%"}, "wind": ""}) == Message([], True, [])


@pytest.mark.parametrize(
    ("report", "why"),
    [
        ({}, "no channel is named"),
        ([], "no observation"),
        ({"observations": {}}, "no observation"),
        ("temp", "opens otherwise"),
        ({"time": NOW * 1000, "temp": 1}, "milliseconds"),
        ({"time": True, "age": 3, "temp": 1}, "both a time and an age"),
        ({"age": -3, "temp": 1}, "is negative"),
        ({"time": "2026-13-01T00:00:00Z", "temp": 1}, "is not like"),
        ({"temp\u0000": 1}, "printable"),
    ],
)
def test_a_report_of_which_nothing_is_left_is_not_understood(report, why):
    with pytest.raises(NotUnderstood, match=why):
        read(report)


def test_a_query_string_is_one_observation():
    assert form("time=2026-06-01T11:00:00Z&temp=21.4&hum=&key=abc") == Message(
        [Said("temp", 21.4, "", NOW - 3600)], clockless=False, refused=[]
    )
    assert form("age=30&temp=-3").said == [Said("temp", -3, "", NOW - 30)]


def test_a_plus_that_the_query_string_lost_is_put_back():
    # WHATWG URL standard, application/x-www-form-urlencoded parsing: + stands for a space.
    assert form("time=2026-06-01T14:00:00+02:00&temp=1").said == form("time=2026-06-01T12:00:00Z&temp=1").said
    assert form("time=2026-06-01+14:00&temp=1", PARIS).said[0].at == NOW


@pytest.mark.parametrize(
    ("text", "why"), [("temp=1&temp=2", "'temp' is given twice"), ("21.4", "neither JSON")]
)
def test_a_query_string_that_is_none_is_not_understood(text, why):
    with pytest.raises(NotUnderstood, match=why):
        form(text)
