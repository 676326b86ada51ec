"""The training table's addresses: its two files, and the sheet that says what is in them."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from network.web.files.origin import checks_version
from network.web.moment import asked, beginning, read_day
from network.web.reader import nobody
from network.web.training.columns import Column
from network.web.training.files import lines
from network.web.training.files import parquet as made_parquet
from network.web.training.table import Training
from stations.models import Village

MOST_DAYS, DAYS = 366, 31
"""A file holds no more, and so many where nobody says from when to when."""


@dataclass(frozen=True)
class TrainingSheet:
    """Everything network/training.html may show."""

    village: Village
    first: date
    last: date
    most: int  # days
    stations: list[str]
    columns: list[Column]
    checks: str


@require_safe
def sheet(request: HttpRequest, village: str) -> HttpResponse:
    """What the table holds, and where to have it."""
    found, first, last = _asked(request, village)
    table = _table(found, first, last)
    names = [station.name for station in table.stations.values()]
    page = TrainingSheet(found, first, last, MOST_DAYS, names, table.columns, checks_version())
    return render(request, "network/training.html", {"page": page})


@require_safe
def csv(request: HttpRequest, village: str) -> StreamingHttpResponse:
    """The table line by line."""
    found, first, last = _asked(request, village)
    name = f'attachment; filename="{_name(found, first, last)}.csv"'
    return StreamingHttpResponse(
        lines(_table(found, first, last)),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": name},
    )


@require_safe
def parquet(request: HttpRequest, village: str) -> FileResponse:
    """The table as Parquet."""
    found, first, last = _asked(request, village)
    with nobody():
        file = made_parquet(_table(found, first, last))
    name = f"{_name(found, first, last)}.parquet"
    kind = "application/vnd.apache.parquet"
    return FileResponse(file, as_attachment=True, filename=name, content_type=kind)


def _asked(request: HttpRequest, village: str) -> tuple[Village, date, date]:
    """Village days ``?from=`` .. ``?to=``, both included; without them the last month."""
    found = get_object_or_404(Village, slug=village)
    today = asked(request.GET, found.clock, datetime.now(UTC).timestamp()).day
    last = read_day(request.GET["to"]) if "to" in request.GET else today
    first = read_day(request.GET["from"]) if "from" in request.GET else last - timedelta(days=DAYS - 1)
    if first > last:
        raise Http404("The first day lies after the last: are the two swapped?")
    if (last - first).days >= MOST_DAYS:
        raise Http404(f"A training table holds at most {MOST_DAYS} days: ask for it year by year.")
    return found, first, last


def _table(village: Village, first: date, last: date) -> Training:
    ends = beginning(last + timedelta(days=1), village.clock)
    return Training(village, beginning(first, village.clock), ends)


def _name(village: Village, first: date, last: date) -> str:
    return f"{village.slug}-hours-{first}-{last}"
