"""How a device sends: the formats, times, keys, refusals and limits, with programs to copy."""

from dataclasses import dataclass

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from django.views.decorators.http import require_safe

from network.science.clock import LARGEST_LEAD
from network.science.units import units_for
from network.science.variables import MEASURED, VARIABLES
from network.web import intake
from network.web.quantities import words_of
from network.wire.limits import MOST_BYTES, MOST_READINGS
from network.wire.message import FORMATS
from stations.programs import KINDS, Program, typical
from stations.views.programs import attachment


@dataclass(frozen=True)
class Answer:
    """One answer a device may get, and what it should do."""

    status: int
    means: str
    do: str


@dataclass(frozen=True)
class Units:
    """What a variable may be sent in."""

    words: str
    units: str


@dataclass(frozen=True)
class SendingPage:
    """Everything network/sending.html may show."""

    address: str
    formats: list[str]
    answers: list[Answer]
    units: list[Units]
    programs: list[Program]
    most_kilobytes: int
    most_readings: int
    most_reports: int
    lead_minutes: int
    village: None = None


ANSWERS = [
    Answer(
        202,
        gettext_noop("Taken and stored. Only now may the board forget it."),
        gettext_noop("Drop it from the buffer."),
    ),
    Answer(
        400,
        gettext_noop("Nothing in it could be understood. It is kept, and its keeper is told."),
        gettext_noop("Do not repeat it."),
    ),
    *(Answer(r.status, r.error, r.hint) for r in (intake.NO_KEY, intake.REVOKED)),
    Answer(413, gettext_noop("Too large, or too many readings."), gettext_noop("Send it in parts.")),
    Answer(
        422,
        gettext_noop("No clock says this: a time before 2000, or too far ahead."),
        gettext_noop("Send ages, or no time."),
    ),
    Answer(
        429, gettext_noop("Too often."), gettext_noop("Wait as many seconds as the header Retry-After says.")
    ),
    Answer(
        503,
        gettext_noop("The hub is not well, as any answer from 500 on."),
        gettext_noop("Keep it, wait longer each time, and send it again."),
    ),
]


@require_safe
def sending(request: HttpRequest) -> HttpResponse:
    """The page for whoever programs a board."""
    address = settings.SITE_URL + reverse("reports")
    page = SendingPage(
        address=address,
        formats=list(FORMATS),
        answers=[Answer(one.status, _(one.means), _(one.do)) for one in ANSWERS],
        units=[Units(words_of(name), ", ".join(units_for(VARIABLES[name]))) for name in MEASURED],
        programs=[typical(kind, address) for kind in KINDS.values()],
        most_kilobytes=MOST_BYTES // 1000,
        most_readings=MOST_READINGS,
        most_reports=settings.REPORTS_PER_MINUTE,
        lead_minutes=LARGEST_LEAD // 60,
    )
    return render(request, "network/sending.html", {"page": page})


@require_safe
def program(request: HttpRequest, kind: str) -> HttpResponse:
    """A program of nobody's station, as a file."""
    if kind not in KINDS:
        raise Http404
    return attachment(typical(KINDS[kind], settings.SITE_URL + reverse("reports")))
