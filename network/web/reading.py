"""How one reads: a page where units, the clock and the language are chosen, and the cookie that keeps them."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from django.views.decorators.http import require_http_methods

from network.web.reader import CHOICES, COOKIE, Reader, reader

YEAR = 365 * 86400
"""[s] So long the cookie lasts."""

QUESTIONS = {
    "temperature": gettext_noop("Temperature"),
    "wind": gettext_noop("Wind"),
    "pressure": gettext_noop("Pressure"),
    "rain": gettext_noop("Rain"),
    "clock": gettext_noop("Clock"),
    "language": gettext_noop("Language"),
}

ANSWERS = {
    "c": gettext_noop("degrees Celsius"),
    "f": gettext_noop("degrees Fahrenheit"),
    "ms": gettext_noop("metres per second"),
    "kmh": gettext_noop("kilometres per hour"),
    "kn": gettext_noop("knots"),
    "mph": gettext_noop("miles per hour"),
    "bft": gettext_noop("force on the Beaufort scale (gusts stay in metres per second)"),
    "hpa": gettext_noop("hectopascals"),
    "inhg": gettext_noop("inches of mercury"),
    "mm": gettext_noop("millimetres"),
    "in": gettext_noop("inches"),
    "24": gettext_noop("24 hours, 14:20"),
    "12": gettext_noop("12 hours, 2:20 pm"),
}

OWN_NAMES = {"en": ("English", "en-GB"), "de": ("Deutsch", "de")}
"""A language in its own words, which whoever needs it can read, and its tag."""


@dataclass(frozen=True)
class Answer:
    """One choice of a question."""

    letters: str
    words: str
    chosen: bool
    tag: str = ""  # of a language


@dataclass(frozen=True)
class Question:
    """What is asked, and what may be chosen."""

    name: str
    words: str
    answers: list[Answer]


@dataclass(frozen=True)
class ReadingPage:
    """Everything network/reading.html may show."""

    questions: list[Question]
    back: str


@require_http_methods(["GET", "HEAD", "POST"])
def reading(request: HttpRequest) -> HttpResponse:
    """The page; what is sent is kept, and leads back to where the reader came from."""
    back = _own(request, request.POST.get("back") or request.GET.get("back", ""))
    if request.method == "POST":
        chosen = Reader.of(".".join(request.POST.get(name, "") for name in CHOICES))
        answer = HttpResponseRedirect(back)
        answer.set_cookie(
            COOKIE, chosen.cookie(), max_age=YEAR, samesite="Lax", httponly=True, secure=request.is_secure()
        )
        return answer
    return render(request, "network/reading.html", {"page": ReadingPage(_questions(), back)})


def _own(request: HttpRequest, address: str) -> str:
    """The address if it is one of the hub's own; the front page otherwise."""
    own = url_has_allowed_host_and_scheme(address, {request.get_host()}, require_https=request.is_secure())
    return address if own else "/"


def _questions() -> list[Question]:
    now = reader()
    return [
        Question(name, _(words), [_answer(letters, getattr(now, name)) for letters in CHOICES[name]])
        for name, words in QUESTIONS.items()
    ]


def _answer(letters: str, chosen: str) -> Answer:
    words, tag = OWN_NAMES.get(letters) or (_(ANSWERS[letters]), "")
    return Answer(letters, words, letters == chosen, tag)
