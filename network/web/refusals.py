"""One shape for every refusal: status, error, hint."""

from typing import Any

from django.http import HttpRequest, JsonResponse
from rest_framework.response import Response
from rest_framework.views import exception_handler

from network.wire.limits import Refusal


def refuse(refusal: Refusal, **headers: str) -> JsonResponse:
    """The answer to whoever sent what cannot be taken."""
    body = {"status": refusal.status, "error": refusal.error, "hint": refusal.hint}
    return JsonResponse(body, status=refusal.status, headers=headers)


def as_sentence(problem: Exception, context: dict[str, Any]) -> Response | None:
    """The API's refusals in the same shape."""
    response = exception_handler(problem, context)
    if response is not None:
        said = response.data
        error = said.get("detail") if isinstance(said, dict) else None
        error = str(error) if error else _first_sentence(said)
        hint = getattr(problem, "hint", "The description of the API is at /api/schema.")
        response.data = {"status": response.status_code, "error": error, "hint": hint}
    return response


def _first_sentence(said: Any) -> str:
    while isinstance(said, dict | list) and said:
        said = next(iter(said.values())) if isinstance(said, dict) else said[0]
    return str(said)


def csrf_failed(request: HttpRequest, reason: str = "") -> JsonResponse:
    """A form that came without its token."""
    return refuse(
        Refusal(403, "This form was opened too long ago.", "Load the page again and send it once more.")
    )
