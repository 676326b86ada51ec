"""The page that sets stations side by side, and the same as a file."""

import time
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from network.pipeline.records.side_by_side import Pair, SideBySide, side_by_side
from network.web.compare.asked import LONGEST, MOST, OFFERED, Asked, asked
from network.web.compare.columns import HOURS, Columns, columns, sectors
from network.web.compare.criteria import criteria
from network.web.compare.download import csv_of, name_of
from network.web.compare.figures import unit
from network.web.compare.lines import Picture, apart, together
from network.web.compare.occasions import Sentence
from network.web.compare.scatter import Scatter, scatter
from network.web.compare.tables import Table, by_group, by_time
from network.web.compare.words import line_words, sentences
from network.web.quantities import words_of
from network.web.when import newest_frame
from stations.models import Station, Village

FOLDED = 3
"""With more pairs than so many each one's smaller pictures wait behind a line of words."""

SPANS = {gettext_noop("week"): 7, gettext_noop("month"): 30, gettext_noop("year"): 365}
"""Days in each span that a link offers."""


@dataclass(frozen=True)
class Choice:
    """One thing to choose: a value of the form, a link, or both."""

    words: str
    chosen: bool
    value: str = ""
    query: str = ""


@dataclass(frozen=True)
class Compared:
    """One station against the first."""

    pair: Pair
    sentences: list[Sentence]
    apart: Picture
    scatter: Scatter | None
    line: list[tuple[str, str]]
    by_hour: Columns | None
    by_hour_table: Table
    by_sector: Columns | None
    by_sector_table: Table


@dataclass(frozen=True)
class ComparePage:
    """Everything network/compare.html may show; ``compared`` is empty until two stations are chosen."""

    village: Village
    chosen: list[Station]
    stations: list[Choice]
    offered: list[Choice]  # variables of the form
    variables: list[Choice]  # links between those that all of the stations measure
    spans: list[Choice]
    readings: list[Choice]
    others: list[Choice]  # links that add a station
    variable: str
    words: str
    first: date
    last: date
    only_good: bool
    query: str
    longest: int = LONGEST
    most: int = MOST
    together: tuple[Picture, ...] = ()
    table: Table | None = None
    compared: tuple[Compared, ...] = ()
    folded: bool = False
    criteria: tuple[str, ...] = ()


@require_safe
@gzip_page
def compare(request: HttpRequest, village: str) -> HttpResponse:
    """The page: what to choose, and what is found where two stations or more are chosen."""
    found = get_object_or_404(Village, slug=village)
    open_stations = _open(request, found)
    question = asked(request.GET, found, open_stations, _today(found))
    result = _result(question) if question.enough else None
    return render(request, "network/compare.html", {"page": _page(question, open_stations, result)})


@require_safe
@gzip_page
def download(request: HttpRequest, village: str) -> HttpResponse:
    """The hours as CSV, with what they were like."""
    found = get_object_or_404(Village, slug=village)
    question = asked(request.GET, found, _open(request, found), _today(found))
    headers = {"Content-Disposition": f'attachment; filename="{name_of(question)}"'}
    lines = csv_of(_result(question)) if question.enough else ""
    return HttpResponse(lines, content_type="text/csv; charset=utf-8", headers=headers)


def _open(request: HttpRequest, village: Village) -> list[Station]:
    """The village's stations that the reader may look at."""
    stations = Station.objects.open_to(request.user).filter(household__village=village)
    return list(stations.select_related("household__village").order_by("name"))


def _today(village: Village) -> date:
    """The village day of the newest readings."""
    now = time.time()
    newest = newest_frame(village, now)
    return datetime.fromtimestamp((newest or int(now)) - 1, village.clock).date()


def _result(question: Asked) -> SideBySide:
    return side_by_side(
        question.village, question.stations, question.variable, question.span, question.only_good
    )


def _page(question: Asked, open_stations: list[Station], result: SideBySide | None) -> ComparePage:
    chosen = list(question.stations)
    page = ComparePage(
        village=question.village,
        chosen=chosen,
        stations=[Choice(one.name, one in chosen, str(one.pk)) for one in open_stations],
        offered=[Choice(words_of(name), name == question.variable, name) for name in OFFERED],
        variables=[
            Choice(words_of(name), name == question.variable, query=question.query(variable=name))
            for name in question.variables
        ],
        spans=[
            Choice(_(words), question.days == days, query=question.query(first=question.last - timedelta(days - 1)))
            for words, days in SPANS.items()
        ],
        readings=[
            Choice(words, question.only_good == good, query=question.query(only_good=good))
            for words, good in ((_("good readings"), True), (_("all readings"), False))
        ],
        others=[
            Choice(one.name, False, query=question.query(stations=(*chosen, one)))
            for one in open_stations
            if one not in chosen and len(chosen) < MOST
        ],
        variable=question.variable,
        words=words_of(question.variable),
        first=question.first,
        last=question.last,
        only_good=question.only_good,
        query=question.query(),
    )  # fmt: skip
    return page if result is None else _filled(page, result)


def _filled(page: ComparePage, result: SideBySide) -> ComparePage:
    return replace(
        page,
        together=tuple(together(result)),
        table=by_time(result, unit(result.variable)),
        compared=tuple(_compared(result, pair) for pair in result.pairs),
        folded=len(result.pairs) > FOLDED,
        criteria=tuple(criteria(result)),
    )


def _compared(result: SideBySide, pair: Pair) -> Compared:
    name = result.variable
    sign, winds = unit(name), sectors()
    return Compared(
        pair=pair,
        sentences=sentences(result, pair),
        apart=apart(result, pair),
        scatter=scatter(pair, name),
        line=line_words(pair, name),
        by_hour=columns(pair.by_hour, name, HOURS, every=6),
        by_hour_table=by_group(pair.by_hour, name, HOURS, _("hour from"), sign, pair),
        by_sector=columns(pair.by_sector, name, winds),
        by_sector_table=by_group(pair.by_sector, name, winds, _("wind from"), sign, pair),
    )
