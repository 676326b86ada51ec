"""One variable of a station over any span: a picture to read off, by pointer or by keys, and a table."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from network.pipeline.ledger.blocks import DAY
from network.pipeline.metadata.stretches import PARENTS
from network.pipeline.records.present import last_heard
from network.science.variables import VARIABLES
from network.web.chart_columns import Columns, columns
from network.web.moment import SPANS, beginning, read_day
from network.web.quantities import decimals_of, unit_in_words, unit_sign, words_of
from network.web.reader import CHOICES, reader
from network.web.series_axes import Spot, TimeAxis
from network.web.series_picture import BAR, Picture, picture
from network.web.series_table import Periods, Table, table
from stations.models import Station, Village

LONGEST = 10 * 366
"""[days] A chart shows no more."""


@dataclass(frozen=True)
class ChartPage:
    """Everything network/chart.html may show."""

    village: Village
    station: Station
    variable: str
    words: str
    unit: str
    others: list[tuple[str, str]]  # variables to go to
    first: date
    last: date
    earlier: tuple[date, date]
    later: tuple[date, date]
    spans: list[
        tuple[str, date, bool]
    ]  # (name, its first day when it ends on the last day, whether it is shown)
    picture: Picture
    doubts: list[Spot]
    table: Table
    readings: int
    doubted: int
    reading_off: dict[str, object]  # for the script


@require_safe
@gzip_page
def chart(request: HttpRequest, village: str, station: int, variable: str) -> HttpResponse:
    """Village days ``?from=`` .. ``?to=``, both included; without them the year up to the newest reading."""
    if variable not in VARIABLES:
        raise Http404(f"'{variable[:40]}' is not a variable: use one of {', '.join(VARIABLES)}.")
    stations = Station.objects.open_to(request.user).select_related("household__village")
    found = get_object_or_404(stations, pk=station, household__village__slug=village)
    first, last = _asked(request, found)
    with timezone.override(found.village.clock):
        return render(request, "network/chart.html", {"page": _page(found, variable, first, last)})


def _asked(request: HttpRequest, station: Station) -> tuple[date, date]:
    if "to" in request.GET:
        last = read_day(request.GET["to"])
    else:
        heard = last_heard(station.pk, int(timezone.now().timestamp()))
        local = timezone.now() if heard is None else datetime.fromtimestamp(heard - 1, station.village.clock)
        last = local.date()
    first = (
        read_day(request.GET["from"]) if "from" in request.GET else last - timedelta(days=SPANS["year"] - 1)
    )
    if first > last:
        raise Http404("The first day lies after the last: are the two swapped?")
    if (last - first).days >= LONGEST:
        raise Http404("A chart shows ten years at most: ask for a shorter span.")
    return first, last


def _page(station: Station, variable: str, first: date, last: date) -> ChartPage:
    zone, day = station.village.clock, timedelta(days=1)
    span = beginning(first, zone), beginning(last + day, zone)
    cut = columns(station.pk, station.report_every, variable, span, zone)
    series, length = cut.as_series(), (last - first) + day
    return ChartPage(
        village=station.village,
        station=station,
        variable=variable,
        words=words_of(variable),
        unit=unit_in_words(variable),
        others=[(name, _(VARIABLES[name].short)) for name in _measured(station)],
        first=first,
        last=last,
        earlier=(first - length, last - length),
        later=(first + length, last + length),
        spans=[(name, last - timedelta(days=days - 1), days == length.days) for name, days in SPANS.items()],
        picture=picture(series, TimeAxis.over(span, zone)),
        doubts=list(_doubts(cut)),
        table=table(series, Periods(_grain(length.days), zone)),
        readings=int((cut.good + cut.doubtful + cut.wrong).sum()),
        doubted=int((cut.doubtful + cut.wrong).sum()),
        reading_off=_reading_off(cut, station.village.zone),
    )


def _measured(station: Station) -> list[str]:
    """What its instruments measure, and what follows from them."""
    own = set(station.instruments.values_list("variable", flat=True))
    return [name for name in VARIABLES if name in own or PARENTS.get(name) in own]


def _grain(days: int) -> str:
    return "day" if days <= 2 else "month" if days <= 62 else "year"


def _doubts(cut: Columns) -> list[Spot]:
    """A bar at the foot of every column in which readings were doubted, or wrong, as far apart as can be seen."""
    found, last = [], -np.inf
    doubted = cut.doubtful + cut.wrong
    for i in np.flatnonzero(doubted > 0).tolist():
        x = round(100 * (i + 0.5) / len(doubted), 2)
        if x - last >= BAR:
            found.append(Spot(x, 0.0, "wrong" if cut.wrong[i] else "doubtful"))
            last = x
    return found


def _reading_off(cut: Columns, zone: str) -> dict[str, object]:
    """What the script tells of a column, in as few figures as a picture has."""

    def plain(values: np.ndarray) -> list[float | None]:
        kept = np.round(values, decimals_of(cut.variable)).tolist()
        return [value if value == value else None for value in kept]

    kind = VARIABLES[cut.variable].summary
    return {
        "begins": cut.begins_at,
        "width": cut.width,
        **({"edges": cut.edges.tolist()} if cut.width >= DAY else {}),
        "mean": plain(cut.high if kind == "maximum" else cut.mean),
        **({} if kind != "mean" else {"low": plain(cut.low), "high": plain(cut.high)}),
        "doubted": (cut.doubtful + cut.wrong).astype(int).tolist(),
        "unit": unit_sign(cut.variable),
        "decimals": decimals_of(cut.variable),
        "zone": zone,
        "twelve": reader().clock == "12",
        "language": CHOICES["language"][reader().language],
    }
