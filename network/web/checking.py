"""How readings are checked: every check as it is, written from the checks themselves."""

import re
from dataclasses import dataclass
from itertools import groupby

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_safe

from network.quality.check import Check
from network.quality.checks import CHECKS

FAMILIES = {
    "instrument": "What the instrument itself cannot say, or not now.",
    "limits": "What cannot be, and what this season and latitude have hardly ever seen.",
    "own past": "Against the same sensor’s last day.",
    "own other variables": "Against what else the station says at the same time.",
    "neighbours": "Against what the trusted stations around lead one to expect.",
    "long run": "What only weeks show.",
}
"""Each family and what it looks at, in a sentence."""


@dataclass(frozen=True)
class Shown:
    """One check."""

    words: str
    name: str
    told: SafeString
    advice: str
    needs: str
    source: str
    thresholds: list[tuple[str, str]]


@dataclass(frozen=True)
class Family:
    """The checks that look at the same thing, which count once."""

    words: str
    looks: str
    checks: list[Shown]


@dataclass(frozen=True)
class CheckingPage:
    """Everything network/checking.html may show."""

    families: list[Family]
    village: None = None


@require_safe
def checking(request: HttpRequest) -> HttpResponse:
    """The page for whoever wants to know why a reading is doubted."""
    return render(request, "network/checking.html", {"page": CheckingPage(families())})


def families() -> list[Family]:
    """All checks, a family at a time."""
    order = list(FAMILIES)
    checks = sorted(CHECKS.values(), key=lambda check: order.index(check.family))
    return [
        Family(words, FAMILIES[words], [_shown(check) for check in own])
        for words, own in groupby(checks, lambda check: check.family)
    ]


def _shown(check: Check) -> Shown:
    return Shown(
        words=check.name.replace("_", " "),
        name=check.name,
        told=_with_places(check.meaning),
        advice=check.advice,
        needs=check.needs,
        source=check.source,
        thresholds=[(name.replace("_", " "), f"{value:g}") for name, value in check.thresholds.items()],
    )


def _with_places(meaning: str) -> SafeString:
    """The sentence with its places for figures set apart."""
    return mark_safe(re.sub(r"\{(\w+)\}", r"<var>\1</var>", conditional_escape(meaning)))
