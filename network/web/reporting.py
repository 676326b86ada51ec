"""How a station reports: when, how punctually, and what each of its channels was taken to say."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from django.utils.translation import gettext as _

from network.models import Report
from network.pipeline.reports.last_words import Word, last_words
from network.web.moment import Moment
from network.web.phrases import phrase
from network.web.quantities import amount, clock, how_long, words_of
from stations.models import Station

LOOKED_AT = 300
"""Reports whose delay is looked at: about a day of them."""

PUNCTUAL = 120
"""[s] A report this late is not worth a word."""


@dataclass(frozen=True)
class ShownWord:
    """One channel: the raw value, and as understood."""

    name: str
    raw: str
    understood: str
    problem: str
    heard_at: datetime | None


@dataclass(frozen=True)
class Reporting:
    """How it reports."""

    last: str
    punctuality: str
    channels: list[ShownWord]
    unknown: list[ShownWord]  # names nobody has set up


def reporting(station: Station, moment: Moment) -> Reporting:
    """From the newest reports up to the moment."""
    words = last_words(station, moment.at)
    reports = Report.objects.filter(station=station, problem="", received_at__lte=moment.at)
    times = list(reports.order_by("-received_at").values_list("received_at", "last_at")[:LOOKED_AT])
    return Reporting(
        last=_last(times, moment),
        punctuality=_punctuality(times, station.report_every),
        channels=[_shown(word, moment) for word in words if word.channel],
        unknown=[_shown(word, moment) for word in words if not word.channel],
    )


def _last(times: list[tuple[float, int | None]], moment: Moment) -> str:
    if not times:
        return _("It has not reported yet.")
    received = datetime.fromtimestamp(times[0][0], moment.zone)
    age = how_long(max(moment.at - times[0][0], 0))
    said = (
        _("Its last report came at {time}, {age} before now.")
        if moment.now
        else _("Its last report came at {time}, {age} before then.")
    )
    return said.format(time=clock(received, moment.local), age=age)


def _punctuality(times: list[tuple[float, int | None]], report_every: int) -> str:
    every = _("It means to report every {interval}.").format(interval=how_long(report_every))
    delays = np.array([received - last for received, last in times if last is not None])
    if not len(delays):
        return every
    usual, late = float(np.median(delays)), int((delays > PUNCTUAL).sum())
    if usual < -1:
        said = _("Its times lie {long} ahead of ours: is its clock or its zone wrong?")
    elif usual < 1:
        said = _("It sends no times: its readings count as of the moment they arrive.")
    elif usual > 1800:
        said = _(
            "Reports usually arrive {long} after the time they speak of: a clock or a zone may be wrong, or the board"
            " gathers them."
        )
    elif late:
        said = _(
            "Reports usually arrive {long} after the time they speak of; {late} of the last {count} came more than two"
            " minutes late."
        )
    else:
        said = _("Reports usually arrive {long} after the time they speak of.")
    return f"{every} {said.format(long=how_long(abs(usual)), late=late, count=len(delays))}"


def _shown(word: Word, moment: Moment) -> ShownWord:
    unit = "" if word.unit == "1" else f" {word.unit}"
    raw = "" if word.raw is None else f"{word.raw:.10g}".replace("-", "−") + unit
    understood = ""
    if word.channel and np.isfinite(word.value):
        variable = word.channel.instrument.variable
        understood = f"{words_of(variable)} {amount(variable, word.value)}"
    elif word.channel and word.raw is None:
        understood = _("not heard in the last reports")
    heard = None if word.at is None else datetime.fromtimestamp(word.at, moment.zone)
    return ShownWord(word.name, raw, understood, phrase(word.problem), heard)
