"""GET /api/: what there is, for people; and the answer to addresses that are not there."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe
from drf_spectacular.generators import SchemaGenerator

from network.web.refusals import refuse
from network.wire.limits import Refusal

WAYS = ("get", "post")


@dataclass(frozen=True)
class Way:
    """One thing to ask or send."""

    method: str
    path: str
    summary: str
    description: str
    parameters: list[tuple[str, bool, str]]
    """Name, whether it must be given, what it is."""


@dataclass(frozen=True)
class ContentsPage:
    """Everything network/api.html may show."""

    ways: list[Way]


@require_safe
def contents(request: HttpRequest) -> HttpResponse:
    """The list of resources, made of the description itself, so that it cannot fall behind."""
    paths = SchemaGenerator().get_schema(public=True)["paths"]
    ways = [
        _way(path, method, paths[path][method]) for path in paths for method in WAYS if method in paths[path]
    ]
    return render(request, "network/api.html", {"page": ContentsPage(ways)})


def nothing_here(request: HttpRequest, rest: str) -> JsonResponse:
    """An address under /api/ that leads nowhere."""
    return refuse(Refusal(404, f"There is nothing at {request.path}.", "What there is stands at /api/."))


def _way(path: str, method: str, described: dict[str, Any]) -> Way:
    parameters = [
        (one["name"], one.get("required", False), one.get("description", ""))
        for one in described.get("parameters", [])
        if one["in"] == "query"
    ]
    return Way(method.upper(), path, described["summary"], described.get("description", ""), parameters)
