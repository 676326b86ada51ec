"""One reading: what each check saw in it, and why its verdict follows."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from network.pipeline.verdicts.why import Weighed, why
from network.quality.explanation import Reason, typeset
from network.quality.verdict import DOUBTFUL, DOUBTFUL_AT, GOOD, UNCHECKED, WRONG, WRONG_AT, verdict_of
from network.science.variables import VARIABLES
from network.web.desk.access import steward_only
from network.web.moment import asked
from network.web.quantities import amount, difference
from network.web.reasons import verdict_words, whys
from stations.models import Station, Village


@dataclass(frozen=True)
class Said:
    """One check's word on the reading; figures '' where it has none."""

    name: str
    family: str
    about: str  # the variable it looked at
    observed: str
    expected: str
    tolerance: str
    strain: str
    outcome: str  # 'content', 'speaks' or 'excused'
    sentence: str


@dataclass(frozen=True)
class ReadingPage:
    """Everything network/desk_reading.html may show."""

    village: Village
    station: Station
    variables: list[tuple[str, str, bool]]  # name, words, chosen
    words: str
    asked_at: datetime
    at: datetime | None  # None: nothing was read near that time
    value: str
    verdict: str
    verdict_words: str
    follows: str  # why the verdict does
    overruled: str  # the steward's word over it; '' where there is none
    said: list[Said]
    before: int | None  # [UTC epoch s] the readings next to it
    after: int | None
    variable: str


@require_safe
@steward_only
def reading(request: HttpRequest, village: Village) -> HttpResponse:
    """The reading of ``?station=`` and ``?variable=`` at or last before ``?at=``."""
    station = request.GET.get("station", "")
    if not station.isdecimal() or len(station) > 18:
        raise Http404("Say which station.")
    stations = Station.objects.of(village).select_related("household__village")
    found = get_object_or_404(stations, pk=int(station))
    name = request.GET.get("variable", "")
    if name not in VARIABLES:
        raise Http404(f"'{name[:40]}' is not a variable.")
    at = asked(request.GET, village.clock, datetime.now(village.clock).timestamp()).at
    page = _page(village, found, name, at)
    return render(request, "network/desk_reading.html", {"page": page})


def _page(village: Village, station: Station, name: str, at: int) -> ReadingPage:
    seen, zone = why(station, name, at), village.clock
    mark = seen.mark if seen else 0
    verdict, words = verdict_words(mark)
    return ReadingPage(
        village=village,
        station=station,
        variables=[(one, VARIABLES[one].words, one == name) for one in VARIABLES],
        words=VARIABLES[name].words,
        asked_at=datetime.fromtimestamp(at, zone),
        at=datetime.fromtimestamp(seen.at, zone) if seen else None,
        value=amount(name, seen.value) if seen and np.isfinite(seen.value) else "",
        verdict=verdict,
        verdict_words=words,
        follows=_follows(name, int(verdict_of(seen.by_checks)), seen.weighed) if seen else "",
        overruled=whys(name, mark, at, [])[0].sentence if seen and seen.mark != seen.by_checks else "",
        said=[_said(one) for one in seen.reasons] if seen else [],
        before=seen.before if seen else None,
        after=seen.after if seen else None,
        variable=name,
    )


def _said(one: Reason) -> Said:
    return Said(
        name=one.check.name.replace("_", " "),
        family=one.check.family,
        about=VARIABLES[one.variable].words,
        observed=_figure(amount, one.variable, one.observed),
        expected=_figure(amount, one.variable, one.expected),
        tolerance=_figure(difference, one.variable, one.tolerance),
        strain=f"{one.strain:.2f}" if one.strain < 1000 else "over 1000",
        outcome="speaks" if one.counted else "excused" if one.excused else "content",
        sentence=typeset(one.sentence),
    )


def _figure(write: Callable[[str, float], str], name: str, value: float) -> str:
    return write(name, value) if np.isfinite(value) else ""


def _follows(name: str, verdict: int, weighed: list[Weighed]) -> str:
    """The sum of the families, and what it comes to."""
    if verdict == UNCHECKED:
        return "No check could look at it, so it stays unchecked."
    if verdict == GOOD:
        return "No check has anything to object that counts, so it is good."
    own = [one for one in weighed if one.variable == name]
    total = sum(one.weight for one in own)
    words = {DOUBTFUL: "doubtful", WRONG: "wrong"}[verdict]
    if not own or total < {DOUBTFUL: DOUBTFUL_AT, WRONG: WRONG_AT}[verdict]:
        parents = " and the ".join(
            dict.fromkeys(VARIABLES[one.variable].words for one in weighed if one not in own)
        )
        return f"It is made from the {parents}, and no better than that: {words}."
    sums = " + ".join(f"{one.family} {one.weight:g}" for one in own)
    return (
        f"Each family of checks counts once, by its weightiest: {sums} = {total:g}. "
        f"From {DOUBTFUL_AT:g} on a reading is doubtful, from {WRONG_AT:g} on wrong: {words}."
    )
