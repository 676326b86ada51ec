"""How a station reports: when, how punctually, and what each of its channels was taken to say."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from network.models import Report
from network.pipeline.reports.last_words import Word, last_words
from network.web.moment import Moment
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
        return "It has not reported yet."
    received = datetime.fromtimestamp(times[0][0], moment.zone)
    age = how_long(max(moment.at - times[0][0], 0))
    return f"Its last report came at {clock(received, moment.local)}, {age} before {'now' if moment.now else 'then'}."


def _punctuality(times: list[tuple[float, int | None]], report_every: int) -> str:
    every = f"It means to report every {how_long(report_every)}."
    delays = np.array([received - last for received, last in times if last is not None])
    if not len(delays):
        return every
    usual, late = float(np.median(delays)), int((delays > PUNCTUAL).sum())
    if usual < -1:
        return f"{every} Its times lie {how_long(-usual)} ahead of ours: is its clock or its zone wrong?"
    if usual < 1:
        return f"{every} It sends no times: its readings count as of the moment they arrive."
    text = f"{every} Reports usually arrive {how_long(max(usual, 0))} after the time they speak of"
    if usual > 1800:
        return f"{text}: a clock or a zone may be wrong, or the board gathers them."
    return (
        f"{text}; {late} of the last {len(delays)} came more than two minutes late." if late else f"{text}."
    )


def _shown(word: Word, moment: Moment) -> ShownWord:
    unit = "" if word.unit == "1" else f" {word.unit}"
    raw = "" if word.raw is None else f"{word.raw:.10g}".replace("-", "−") + unit
    understood = ""
    if word.channel and np.isfinite(word.value):
        variable = word.channel.instrument.variable
        understood = f"{words_of(variable)} {amount(variable, word.value)}"
    elif word.channel and word.raw is None:
        understood = "not heard in the last reports"
    heard = None if word.at is None else datetime.fromtimestamp(word.at, moment.zone)
    return ShownWord(word.name, raw, understood, word.problem, heard)
