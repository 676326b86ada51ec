"""A station, its key, and a way to hand over whatever a board might."""

import json
from collections.abc import Callable, Iterator

import pytest
from django.core.cache import caches
from django.http import HttpResponse
from django.test import Client

from stations.models import DeviceKey, Station
from tests.network.made_village import make_village

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
    caches["near"].clear()

    def hand_over(body: bytes | str | dict | list, content_type: str = JSON, query: str = "", **said: object):
        text = json.dumps(body) if isinstance(body, dict | list) else body
        headers = said.pop("headers", {"Authorization": f"Bearer {key}"})
        client = Client(raise_request_exception=False, headers=headers)
        data = text.encode() if isinstance(text, str) else text
        return client.generic("POST", f"/api/reports{query}", data, content_type, **said)

    yield hand_over
    caches["near"].clear()


def assert_refused(answer: HttpResponse, status: int, *words: str) -> None:
    body = answer.json()
    assert (answer.status_code, body["status"], set(body)) == (status, status, {"status", "error", "hint"})
    for word in words:
        assert word in body["error"] + body["hint"]
    assert body["error"].endswith(".") and body["hint"]
