"""A keeper's notices: what the hub and the steward had to say about their stations."""

from dataclasses import dataclass

from django.contrib.auth.decorators import login_required
from django.core.paginator import Page, Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from network.models import Notice
from network.web.quantities import by_format, hour
from stations.models import Village

A_PAGE = 50


@dataclass(frozen=True)
class Told:
    """One notice, dated in its village's time."""

    pk: int
    day: str
    time: str
    station: str
    station_pk: int
    village: Village
    words: str
    unread: bool
    question: int | None  # the steward's question to be answered
    answered: bool


@dataclass(frozen=True)
class NoticesPage:
    """Everything network/notices.html may show."""

    notices: list[Told]
    unread: int
    sheet: Page
    village: Village | None = None


@require_safe
@login_required
def notices(request: HttpRequest) -> HttpResponse:
    """What was said about the stations of the reader's households, newest first."""
    mine = Notice.objects.filter(station__household__memberships__person=request.user).distinct()
    fetched = mine.select_related("station__household__village", "question").prefetch_related(
        "question__answers"
    )
    sheets = Paginator(fetched.order_by("-made_at", "-pk"), A_PAGE)
    sheet = sheets.get_page(request.GET.get("page"))
    page = NoticesPage([_told(one) for one in sheet], mine.filter(read_at=None).count(), sheet)
    return render(request, "network/notices.html", {"page": page})


@require_POST
@login_required
def read(request: HttpRequest) -> HttpResponse:
    """Mark one notice as read, or with none named all of them."""
    mine = Notice.objects.filter(station__household__memberships__person=request.user, read_at=None)
    named = request.POST.get("notice", "")
    if named.isdecimal() and len(named) < 19:
        mine = mine.filter(pk=int(named))
    Notice.objects.filter(pk__in=mine.values("pk")).update(read_at=timezone.now())
    return redirect("notices")


def _told(notice: Notice) -> Told:
    village, question = notice.station.household.village, notice.question
    made_at = notice.made_at.astimezone(village.clock)
    return Told(
        pk=notice.pk,
        day=by_format(made_at, "D j M"),
        time=hour(made_at),
        station=notice.station.name,
        station_pk=notice.station_id,
        village=village,
        words=notice.words,
        unread=notice.read_at is None,
        question=question and question.pk,
        answered=question is not None and bool(question.answers.all()),
    )
