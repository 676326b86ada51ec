"""POST /api/reports, as the description of the API tells of it: it is no view of the framework's."""

from typing import Any

from network.web.api.shapes import RefusalShape
from network.wire.limits import MOST_BYTES, MOST_READINGS
from network.wire.message import FORMATS

SENML = [
    {"bn": "garden:", "bt": 1748779200, "n": "temp", "u": "Cel", "v": 21.4},
    {"n": "hum", "u": "%RH", "v": 48},
]
PLAIN = {"time": "2025-06-01T12:00:00Z", "temp": 21.4, "hum": {"value": 48, "unit": "%"}}
FORM = "age=60&temp=21.4&hum=48"

_REFUSALS = {
    400: "Nothing in the report could be read. It is kept, and its keeper is told.",
    401: "No key, or one that no station has.",
    403: "The key was revoked, or the station is retired.",
    405: "Reports are sent with POST.",
    413: f"More than {MOST_BYTES} bytes or {MOST_READINGS} readings.",
    422: "Every time it claims lies before 2000 or more than ten minutes ahead.",
    429: "Too many reports in a minute; Retry-After says how long to wait.",
}
_EXAMPLES = {
    "application/senml+json": SENML,
    "application/json": PLAIN,
    "application/x-www-form-urlencoded": FORM,
    "text/plain": FORM,
}


def describe(result: dict[str, Any], **_: object) -> dict[str, Any]:
    """Add the way in for devices to the description."""
    result.setdefault("paths", {})["/api/reports"] = {"post": _operation()}
    schemes = result.setdefault("components", {}).setdefault("securitySchemes", {})
    schemes["deviceKey"] = {
        "type": "http",
        "scheme": "bearer",
        "description": "The key shown once on the station's page.",
    }
    return result


def _operation() -> dict[str, Any]:
    return {
        "operationId": "report",
        "summary": "A device hands over a report",
        "description": (
            "SenML (RFC 8428) in JSON or CBOR, a plain JSON object or list of them, or a form. 202 means that the report is"
            " stored durably; sent again, it is acknowledged and stored once. A time may be left out or be an"
            " age in seconds. Channels nobody knows yet are kept."
        ),
        "tags": ["reports"],
        "security": [{"deviceKey": []}],
        "requestBody": {
            "required": True,
            "content": {kind: {"schema": _body(kind)} | _example(kind) for kind in FORMATS},
        },
        "responses": {"202": _accepted()}
        | {str(status): _refused(words) for status, words in _REFUSALS.items()},
    }


def _example(kind: str) -> dict[str, Any]:
    return {"example": _EXAMPLES[kind]} if kind in _EXAMPLES else {}


def _body(kind: str) -> dict[str, Any]:
    if kind.startswith("text"):
        return {"type": "string"}
    if kind.endswith("cbor"):
        return {"type": "string", "format": "binary"}
    if kind == "application/senml+json":
        return {"type": "array", "items": {"type": "object"}}
    if kind == "application/json":
        one = {"type": "object", "additionalProperties": True}
        return {"oneOf": [one, {"type": "array", "items": one}]}
    return {"type": "object", "additionalProperties": {"type": "string"}}


def _accepted() -> dict[str, Any]:
    figures = {
        "status": {"type": "integer"},
        "readings": {"type": "integer", "description": "How many readings were kept."},
        "new": {"type": "boolean", "description": "False when the same report was stored before."},
        "refused": {
            "type": "array",
            "items": {"type": "string"},
            "description": "What in it was not read.",
        },
        "unknown": {
            "type": "array",
            "items": {"type": "string"},
            "description": "Names that no channel bears: kept, and not used.",
        },
    }
    shape = {"type": "object", "properties": figures, "required": list(figures)}
    return {"description": "Stored durably.", "content": {"application/json": {"schema": shape}}}


def _refused(words: str) -> dict[str, Any]:
    name = RefusalShape.__name__
    return {
        "description": words,
        "content": {"application/json": {"schema": {"$ref": f"#/components/schemas/{name}"}}},
    }
