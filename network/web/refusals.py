"""One shape for every refusal: status, error, hint."""

from typing import Any

from django.http import JsonResponse
from rest_framework.exceptions import APIException, Throttled
from rest_framework.response import Response
from rest_framework.views import exception_handler

from network.spatial.village import TooFew
from network.wire.limits import Refusal


def refuse(refusal: Refusal, **headers: str) -> JsonResponse:
    """The answer to whoever sent what cannot be taken."""
    body = {"status": refusal.status, "error": refusal.error, "hint": refusal.hint}
    return JsonResponse(body, status=refusal.status, headers=headers)


class Refused(APIException):
    """A refusal raised inside the API."""

    def __init__(self, status: int, error: str, hint: str) -> None:
        super().__init__(error)
        self.status_code = status
        self.hint = hint


def as_sentence(problem: Exception, context: dict[str, Any]) -> Response | None:
    """The API's refusals in the same shape."""
    if isinstance(problem, TooFew):
        problem = Refused(404, str(problem), "More stations whose place is shown would make a map.")
    response = exception_handler(problem, context)
    if response is not None:
        hint = getattr(problem, "hint", "The description of the API is at /api/schema.")
        error = _first_sentence(response.data)
        if isinstance(problem, Throttled):
            error, hint = (
                "That is too many questions in a minute.",
                f"Wait {round(problem.wait or 60)} seconds.",
            )
        response.data = {"status": response.status_code, "error": error, "hint": hint}
    return response


def _first_sentence(said: Any) -> str:
    """The first of DRF's complaints, with the name of the field that it is about."""
    field = ""
    while isinstance(said, dict | list) and said:
        if isinstance(said, dict):
            name, said = next(iter(said.items()))
            field = "" if name in ("detail", "non_field_errors") else name
        else:
            said = said[0]
    return f"{field}: {said}" if field else str(said)
