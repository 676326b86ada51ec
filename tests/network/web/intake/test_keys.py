"""Who may send, and that no key stays in a stored report."""

from datetime import UTC, datetime

import pytest

from network.models import Report
from stations.models import DeviceKey, Station
from tests.network.web.intake.conftest import FORM, JSON, assert_refused


@pytest.mark.parametrize("scheme", ["Bearer ", "bearer ", "Bearer  "])
def test_a_key_in_the_authorization_header(post, key, scheme):
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
def test_a_key_inside_a_report_is_used_and_never_stored(post, key, body, content_type, query, left):
    post(body.replace("KEY", key), content_type, query.replace("KEY", key), headers={})
    assert bytes(Report.objects.get().body) == left


def test_a_key_in_both_places_is_not_stored_either(post, key):
    post(f"t=1&key={key}", "text/plain")
    assert key.encode() not in bytes(Report.objects.get().body)


def test_without_a_key(post):
    answer = post({"t": 1}, headers={})
    assert_refused(answer, 401, "Authorization: Bearer")
    assert answer["WWW-Authenticate"] == "Bearer"


@pytest.mark.parametrize("wrong", ["nonsense", "x" * 5000, "caf\u00e9", "' OR 1=1 --"])
def test_a_key_no_station_has(post, wrong):
    assert_refused(post({"t": 1}, headers={"Authorization": f"Bearer {wrong}"}), 401, "No station")


def test_a_revoked_key_and_the_new_one_beside_it(post, station, key):
    _, new = DeviceKey.issue(station)
    station.keys.filter(ending=key[-4:]).update(revoked_at=datetime.now(UTC))
    assert_refused(post({"t": 1}), 403, "revoked", "new key")
    assert post({"t": 1}, headers={"Authorization": f"Bearer {new}"}).status_code == 202


def test_a_retired_station(post, station):
    Station.objects.filter(pk=station.pk).update(state="retired")
    assert_refused(post({"t": 1}), 403, "retired")
    assert not Report.objects.exists()


@pytest.mark.parametrize("state", ["draft", "awaiting", "paused"])
def test_a_station_that_does_not_count_yet_may_send(post, station, state):
    Station.objects.filter(pk=station.pk).update(state=state)
    assert post({"t": 1}).status_code == 202
