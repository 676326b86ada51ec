"""A station's observations as CSV: units in the header, and with every reading its verdict and reasons."""

import csv
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import numpy as np
from django.db.models import Count
from django.http import Http404, HttpRequest, StreamingHttpResponse
from django.shortcuts import get_object_or_404
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from network.models import Observation
from network.models.observation import MARKS, VALUES
from network.models.storage import read
from network.pipeline.ledger import blocks
from network.pipeline.verdicts.steward import reasons
from network.quality.verdict import VERDICT_WORDS
from network.science.variables import VARIABLES
from network.web.moment import asked, beginning, read_day
from network.web.quantities import in_usual_unit
from stations.models import Station

DAYS = 7
"""What is handed over when nobody says from when to when."""


class Line:
    """What a CSV writer writes to: it hands each line back."""

    def write(self, text: str) -> str:
        return text


@require_safe
def download(request: HttpRequest, village: str, station: int) -> StreamingHttpResponse:
    """Village days ``?from=`` .. ``?to=``, both included; without them the last seven."""
    stations = Station.objects.open_to(request.user).select_related("household__village")
    found = get_object_or_404(stations, pk=station, household__village__slug=village)
    zone = found.village.clock
    today = asked(request.GET, zone, datetime.now(UTC).timestamp()).day
    last = read_day(request.GET["to"]) if "to" in request.GET else today
    first = read_day(request.GET["from"]) if "from" in request.GET else last - timedelta(days=DAYS - 1)
    if first > last:
        raise Http404("The first day lies after the last: are the two swapped?")
    lines = _lines(found, beginning(first, zone), beginning(last + timedelta(days=1), zone))
    name = f"{slugify(found.name) or 'station'}-{first}-{last}.csv"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return StreamingHttpResponse(lines, content_type="text/csv; charset=utf-8", headers=headers)


def _lines(station: Station, begins_at: int, ends_at: int) -> Iterator[str]:
    """The header and a line for each observation, read a day at a time."""
    writer = csv.writer(Line())
    variables = measured(station.pk, begins_at, ends_at)
    yield writer.writerow(["station", "observed_at (UTC, end of period)", *_headers(variables)])
    columns = (*variables, *(f"{name}_mark" for name in variables))
    name = safe(station.name)
    for begins in range(begins_at, ends_at, blocks.DAY):
        rows = read(Observation, [station.pk], begins + 1, min(begins + blocks.DAY, ends_at) + 1, columns)
        shown = {name: in_usual_unit(name, rows.columns[name]) for name in variables}
        for i, at in enumerate(rows.at.tolist()):
            cells = [_cells(v, shown[v][i], rows.columns[f"{v}_mark"][i]) for v in variables]
            when = f"{datetime.fromtimestamp(at, UTC):%Y-%m-%dT%H:%M:%SZ}"
            yield writer.writerow([name, when, *(cell for three in cells for cell in three)])


def measured(station: int, begins_at: int, ends_at: int) -> list[str]:
    """The variables the station has marks of in the span."""
    marks = Observation.objects.filter(
        station=station, observed_at__gt=begins_at, observed_at__lte=ends_at
    ).aggregate(**{f"has_{mark}": Count(mark) for mark in MARKS})
    return [name for name in VALUES if marks[f"has_{name}_mark"]]


def _headers(variables: list[str]) -> Iterator[str]:
    for name in variables:
        yield f"{name} [{VARIABLES[name].shown_unit}]"
        yield f"{name}_verdict"
        yield f"{name}_reasons"


def _cells(name: str, value: float, mark: float) -> tuple[str, str, str]:
    """Value, verdict and reasons of one reading; all empty where the station did not measure it."""
    if np.isnan(mark):
        return "", "", ""
    bits = int(mark)
    figure = "" if np.isnan(value) else f"{value:.{VARIABLES[name].decimals + 2}f}"
    return figure, VERDICT_WORDS[bits & 7], "; ".join(reasons(bits))


def safe(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
