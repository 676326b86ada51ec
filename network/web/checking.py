"""How readings are checked: every check as it is, written from the checks themselves."""

import re
from dataclasses import dataclass
from itertools import groupby

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from django.views.decorators.http import require_safe

from network.quality.check import Check
from network.quality.checks import CHECKS
from network.web.quantities import plain

FAMILIES = {
    gettext_noop("instrument"): gettext_noop("What the instrument itself cannot say, or not now."),
    gettext_noop("limits"): gettext_noop("What cannot be, and what this season and latitude have hardly ever seen."),
    gettext_noop("own past"): gettext_noop("Against the same sensor’s last day."),
    gettext_noop("own other variables"): gettext_noop("Against what else the station says at the same time."),
    gettext_noop("neighbours"): gettext_noop("Against what the trusted stations around lead one to expect."),
    gettext_noop("long run"): gettext_noop("What only weeks show."),
}  # fmt: skip
"""Each family and what it looks at, in a sentence."""

PLACES = {
    "variable": gettext_noop("variable"),
    "observed": gettext_noop("value"),
    "expected": gettext_noop("expected value"),
    "tolerance": gettext_noop("tolerance"),
    "low": gettext_noop("lower bound"),
    "high": gettext_noop("upper bound"),
    "hint": gettext_noop("what is suspected"),
    "size": gettext_noop("amount"),
}
"""What stands in a check's sentence where a case has its figures."""


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
        Family(_(words), _(FAMILIES[words]), [_shown(check) for check in own])
        for words, own in groupby(checks, lambda check: check.family)
    ]


def _shown(check: Check) -> Shown:
    return Shown(
        words=_(check.name.replace("_", " ")),
        name=check.name,
        told=_with_places(_(check.meaning)),
        advice=_(check.advice),
        needs=_(check.needs),
        source=_(check.source),
        thresholds=[
            (name.replace("_", " "), plain(float(value))) for name, value in check.thresholds.items()
        ],
    )


def _with_places(meaning: str) -> SafeString:
    """The sentence with its places for figures set apart."""
    return mark_safe(re.sub(r"\{(\w+)\}", _place, conditional_escape(meaning)))


def _place(found: re.Match[str]) -> str:
    return f"<var>{_(PLACES[found[1]])}</var>"
