"""How a reader wants things said: units, the clock and the language. Kept in a cookie; no account is needed."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import asdict, dataclass, fields

from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.utils.cache import patch_vary_headers

COOKIE = "reading"

BEAUFORT = "Bft"
"""Not a unit but a scale: of a mean wind only, never of a gust or a difference."""

CHOICES: dict[str, dict[str, str]] = {
    "temperature": {"c": "Cel", "f": "[degF]"},
    "wind": {"ms": "m/s", "kmh": "km/h", "kn": "[kn_i]", "mph": "[mi_i]/h", "bft": BEAUFORT},
    "pressure": {"hpa": "hPa", "inhg": "[in_i'Hg]"},
    "rain": {"mm": "mm", "in": "[in_i]"},
    "clock": {"24": "24", "12": "12"},
    "language": {"en": "en-gb", "de": "de"},
}
"""What may be chosen, by its letters in the cookie: units as they travel, hours of the clock, languages."""

INSTEAD_OF = {"Cel": "temperature", "m/s": "wind", "hPa": "pressure", "mm": "rain", "mm/h": "rain"}
"""Which choice decides about a unit that is shown to whoever has not chosen."""

PLACES = {
    "[degF]": 0,
    "km/h": 0,
    "[kn_i]": -1,
    "[mi_i]/h": -1,
    BEAUFORT: -1,
    "[in_i'Hg]": 1,
    "[in_i]": 1,
    "[in_i]/h": 1,
}
"""How many decimals more a chosen unit wants than the usual one."""

TRANSLATED = {
    "front",
    "reading",
    "checking",
    "sending",
    "village",
    "village-map",
    "village-map-page",
    "village-map-run",
    "village-map-scores",
    "village-gate",
    "village-explore",
    "village-figure",
    "compare",
    "station",
    "station-figure",
    "station-reports",
    "station-record",
    "village-record",
    "village-training",
    "station-sheet",
    "station-chart",
}
"""Names of the addresses whose pages are told in every language of CHOICES."""


@dataclass(frozen=True)
class Reader:
    """One reader's choices, as letters of CHOICES; the first of each by default."""

    temperature: str = "c"
    wind: str = "ms"
    pressure: str = "hpa"
    rain: str = "mm"
    clock: str = "24"
    language: str = "en"

    @classmethod
    def of(cls, cookie: str) -> "Reader":
        """The choices a cookie holds; what it does not hold, or nobody offers, is as by default."""
        letters = dict(zip((field.name for field in fields(cls)), cookie.split("."), strict=False))
        return cls(**{name: one for name, one in letters.items() if one in CHOICES[name]})

    def cookie(self) -> str:
        return ".".join(asdict(self).values())

    def unit(self, usual: str) -> str:
        """The unit to show in place of the usual one."""
        choice = INSTEAD_OF.get(usual)
        if choice is None:
            return usual
        chosen = CHOICES[choice][getattr(self, choice)]
        return f"{chosen}/h" if usual == "mm/h" else chosen


_reader: ContextVar[Reader | None] = ContextVar("reader", default=None)


def reader() -> Reader:
    """Whoever is being answered; one who has chosen nothing outside of a request."""
    return _reader.get() or Reader()


@contextmanager
def nobody() -> Iterator[None]:
    """What is made here is for files: told as to one who has chosen nothing."""
    before = _reader.set(Reader())
    try:
        yield
    finally:
        _reader.reset(before)


class ReaderMiddleware:
    """Answer each request in its reader's units, and in the reader's language where the page has been translated."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponse]) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path.startswith("/api/"):
            return self.answer(
                request
            )  # programs are told what they are promised, whoever's browser runs them
        before = _reader.set(Reader.of(request.COOKIES.get(COOKIE, "")))
        translation.activate(CHOICES["language"][reader().language])
        try:
            response = self.answer(request)
        finally:
            _reader.reset(before)
            translation.deactivate()
        patch_vary_headers(response, ["Cookie"])
        return response

    def process_view(self, request: HttpRequest, *_: object) -> None:
        """Half a page in another language helps nobody: one that is not translated stays wholly English."""
        if request.resolver_match and request.resolver_match.url_name not in TRANSLATED:
            translation.deactivate()
