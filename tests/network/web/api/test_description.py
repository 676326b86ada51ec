"""The description at /api/schema is valid OpenAPI, and every answer is as it says."""

import json
from typing import Any

import pytest
from django.test import Client
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.validation import validate_schema
from jsonschema import Draft4Validator

from network.web.api.reporting import FORM, PLAIN, SENML
from stations.models import DeviceKey, Station
from tests.network.web.api.conftest import MORNING, NOON

ASKED = {
    "/api/estimate": {"lat": 47.312, "lon": 8.914, "variable": "air_temperature", "at": NOON},
    "/api/stations": {},
    "/api/stations/{id}": {},
    "/api/stations/{id}/comparisons": MORNING,
    "/api/stations/{id}/evidence": MORNING,
    "/api/stations/{id}/observations": MORNING,
    "/api/stations/{id}/summaries": MORNING,
    "/api/villages": {},
    "/api/villages/{slug}/maps": {"variable": "rain_amount", "at": NOON, "rows": 4},
    "/api/villages/{slug}/maps/scores": {"month": "2024-05"},
    "/api/villages/{slug}/side-by-side": MORNING | {"stations": "{id},{other}"},
}


@pytest.fixture(scope="module")
def description() -> dict[str, Any]:
    return SchemaGenerator().get_schema(public=True)


def test_the_description_is_valid_openapi(client):
    answer = client.get("/api/schema")
    assert answer["Content-Type"] == "application/json"
    validate_schema(answer.json())


def test_every_path_that_can_be_asked_is_tried_below(description):
    asked = {path for path, ways in description["paths"].items() if "get" in ways}
    assert asked == set(ASKED)


@pytest.mark.parametrize("path", ASKED)
def test_every_answer_has_the_shape_described(path, description, reader, stations):
    address, asked = filled(path, stations)
    answer = reader.get(address, asked)
    assert answer.status_code == 200
    assert_shaped(answer.json(), description, path, 200)


@pytest.mark.parametrize("path", ASKED)
def test_a_parameter_nobody_knows_is_refused_in_the_one_shape(path, description, reader, stations):
    address, asked = filled(path, stations)
    answer = reader.get(address, asked | {"colour": "blue"})
    assert answer.status_code == answer.json()["status"] == 400
    assert "colour" in answer.json()["error"]
    assert_shaped(answer.json(), description, path, 400)


def filled(path: str, stations: list[Station]) -> tuple[str, dict[str, Any]]:
    """A path and its parameters with the numbers of this village's stations."""
    own, other = stations[1], stations[0]
    numbers = {"{id}": str(own.pk), "{other}": str(other.pk), "{slug}": own.village.slug}

    def say(given: Any) -> Any:
        for name, number in numbers.items():
            given = given.replace(name, number) if isinstance(given, str) else given
        return given

    return say(path), {name: say(value) for name, value in ASKED[path].items()}


def assert_shaped(body: Any, description: dict[str, Any], path: str, status: int) -> None:
    content = description["paths"][path]["get"]["responses"][str(status)]["content"]
    schema = as_json_schema(content["application/json"]["schema"])
    components = as_json_schema(description["components"])
    validator = Draft4Validator(
        schema | {"components": components}, format_checker=Draft4Validator.FORMAT_CHECKER
    )
    problems = [f"{'/'.join(map(str, e.path))}: {e.message}" for e in validator.iter_errors(body)]
    assert not problems, problems[:3]
    described = schema
    if "$ref" in schema:
        described = components["schemas"][schema["$ref"].rpartition("/")[2]]
    assert set(body) <= set(described["properties"]), "the answer says more than is described"


def as_json_schema(node: Any) -> Any:
    """OpenAPI 3.0 writes 'nullable' where JSON Schema writes the type null."""
    if isinstance(node, list):
        return [as_json_schema(each) for each in node]
    if not isinstance(node, dict):
        return node
    plain = {key: as_json_schema(value) for key, value in node.items() if key != "nullable"}
    return {"anyOf": [plain, {"type": "null"}]} if node.get("nullable") is True else plain


@pytest.mark.parametrize(
    ("content_type", "body"),
    [
        ("application/senml+json", json.dumps(SENML)),
        ("application/json", json.dumps(PLAIN)),
        ("application/x-www-form-urlencoded", FORM),
        ("text/plain", FORM),
    ],
)
def test_the_examples_of_the_way_in_are_taken_as_they_stand(content_type, body, description, stations):
    assert content_type in description["paths"]["/api/reports"]["post"]["requestBody"]["content"]
    _, key = DeviceKey.issue(stations[0])
    answer = Client().post(
        "/api/reports", body, content_type=content_type, headers={"Authorization": f"Bearer {key}"}
    )
    assert (answer.status_code, answer.json()["readings"]) == (202, 2)


def test_the_page_for_people_lists_every_way_with_its_parameters(client, description):
    page = client.get("/api/").content.decode()
    for path, ways in description["paths"].items():
        assert f"<code>{path}</code>" in page
        for way in ways.values():
            assert way["summary"] in page
    assert "national" in page and "weather service" in page


def test_an_address_that_leads_nowhere_says_so_in_the_one_shape(client):
    answer = client.get("/api/forecast")
    assert answer.status_code == 404
    assert answer.json() == {
        "status": 404,
        "error": "There is nothing at /api/forecast.",
        "hint": "What there is stands at /api/.",
    }
