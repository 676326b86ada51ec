"""How good the maps of a month were, and plainer ones beside them."""

from dataclasses import dataclass
from datetime import datetime
from time import time

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from django.views.decorators.http import require_safe

from network.pipeline.maps.scores import MapScores, map_scores
from network.science.variables import VARIABLES
from network.web.quantities import difference, in_difference_unit, words_of
from network.web.record.span import Span
from network.web.village_map import OFFERED
from stations.models import Village

FINER = 1
"""More decimals than a reading has: errors are averages of many."""

WORTH_SAYING = 0.05
"""Share by which one method must beat another before a sentence says so."""


DISTANCE = (
    gettext_noop("plain inverse distance misses by {share} more"),
    gettext_noop("plain inverse distance would have missed by {share} less"),
    gettext_noop("inverse distance serves as well"),
)
MEAN = (
    gettext_noop("plain village mean misses by {share} more"),
    gettext_noop("plain village mean would have missed by {share} less"),
    gettext_noop("the village mean serves as well"),
)
"""What is said of plainer maps: that they are worse, better, as good."""


@dataclass(frozen=True)
class Row:
    """One variable's line of the table, in the reader's units."""

    words: str
    maps: int
    rmse: str
    plain: str
    mean: str
    bias: str
    coverage: str
    half_coverage: str
    crps: str
    method: str


@dataclass(frozen=True)
class MapScoresPage:
    """Everything network/map_scores.html may show."""

    village: Village
    month: str
    sentences: list[str]
    rows: list[Row]
    before: str  # as the address has it
    after: str  # empty where it has not begun


@require_safe
def map_scores_page(request: HttpRequest, village: str) -> HttpResponse:
    """The scores of ``?month=2026-06``, or of this month."""
    found = get_object_or_404(Village, slug=village)
    span = _span(request.GET.get("month", ""), found)
    scores = map_scores(found, span.begins_at, span.ends_at)
    scores.sort(key=lambda one: OFFERED.index(one.variable))
    after = span.after()
    page = MapScoresPage(
        village=found,
        month=span.title,
        sentences=[*_intervals(scores), *(_sentence(one) for one in scores)],
        rows=[_row(one) for one in scores],
        before=f"{span.before().first:%Y-%m}",
        after="" if after is None else f"{after.first:%Y-%m}",
    )
    return render(request, "network/map_scores.html", {"page": page})


def _span(asked: str, village: Village) -> Span:
    now = time()
    if not asked:
        day = datetime.fromtimestamp(now, village.clock)
        return Span.of(village.clock, now, day.year, day.month)
    year, _, month = asked.partition("-")
    if not (year.isdecimal() and month.isdecimal()):
        raise Http404("A month is written as year and month, such as 2026-06.")
    return Span.of(village.clock, now, int(year), int(month))


def _intervals(scores: list[MapScores]) -> list[str]:
    """Whether the maps' intervals hold what they say, over all variables."""
    shares = sorted(round(100 * one.coverage) for one in scores)
    if not shares:
        return []
    low, high = shares[0], shares[-1]
    told = str(low) if low == high else _("{low} to {high}").format(low=low, high=high)
    return [
        _("Of 100 readings kept from the map, {told} fell within intervals that should hold 90.").format(
            told=told
        )
    ]


def _sentence(one: MapScores) -> str:
    """How far off a villager must expect the map to be, and whether a plainer one would do."""
    said = _("{what} is told to within {size} on average; {beside}.")
    what, size = capfirst(words_of(one.variable)), difference(one.variable, one.mae)
    return said.format(what=what, size=size, beside=_beside(one))


def _beside(one: MapScores) -> str:
    error, (better, worse, alike) = min(
        (one.plain_rmse, DISTANCE), (one.mean_rmse, MEAN), key=lambda each: each[0]
    )
    if one.rmse < (1 - WORTH_SAYING) * error:
        return _(better).format(share=_percent(error / one.rmse - 1))
    if one.rmse > (1 + WORTH_SAYING) * error:
        return _(worse).format(share=_percent(1 - error / one.rmse))
    return _(alike)


def _percent(share: float) -> str:
    return f"{100 * share:.0f}\u00a0%"


def _row(one: MapScores) -> Row:
    places = VARIABLES[one.variable].decimals + FINER

    def off(value: float) -> str:
        return difference(one.variable, value, places)

    return Row(
        words=words_of(one.variable),
        maps=one.maps,
        rmse=off(one.rmse),
        plain=off(one.plain_rmse),
        mean=off(one.mean_rmse),
        bias=_signed(one.variable, one.bias, places),
        coverage=_percent(one.coverage),
        half_coverage=_percent(one.half_coverage),
        crps=off(one.crps),
        method=_(one.methods.most_common(1)[0][0]),
    )


def _signed(variable: str, value: float, places: int) -> str:
    """With its sign, unless it is nought as told."""
    size, own = difference(variable, value, places), round(in_difference_unit(variable, value), places)
    return size if own == 0 else ("−" if own < 0 else "+") + size
