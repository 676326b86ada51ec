"""The two days a map page shows, and what stands along its slider."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.http import QueryDict
from django.utils.translation import gettext as _

from network.pipeline.ledger.blocks import FRAME, HOUR
from network.web.maps.run import SPAN
from network.web.moment import beginning
from network.web.quantities import by_format
from network.web.quantities import hour as clocked
from network.web.when import When, when
from stations.models import Village

EVERY = 6
"""[h] Between two times named along the slider."""


@dataclass(frozen=True)
class Tick:
    """A time along the slider."""

    x: float  # [%]
    words: str
    midnight: bool


@dataclass(frozen=True)
class Step:
    """Another time to go to."""

    words: str
    at: int
    slides: bool  # whether the slider reaches it too


def two_days(query: QueryDict, village: Village, now: float) -> When | None:
    """The frame asked for, in the last 48 hours or else in those that end with its day; None before any report."""
    asked = when(query, village, now)
    if asked is None:
        return None
    ends = asked.newest
    if asked.at <= ends - SPAN:
        ends = beginning(asked.day + timedelta(days=1), village.clock) // FRAME * FRAME
    return replace(asked, begins_at=ends - SPAN, ends_at=ends)


def ticks(begins_at: int, ends_at: int, zone: ZoneInfo) -> list[Tick]:
    """Every sixth hour of a clock from the first to the last frame; a midnight bears the name of its day."""
    first, made = datetime.fromtimestamp(begins_at, zone).date(), []
    days = range((ends_at - begins_at) // (24 * HOUR) + 2)
    for day in (first + timedelta(days=n) for n in days):
        for hour in range(0, 24, EVERY):
            local = datetime(day.year, day.month, day.day, hour, tzinfo=zone)
            share = (local.timestamp() - begins_at) / (ends_at - begins_at)
            if 0 <= share <= 1:
                words = clocked(local) if hour else by_format(local, "D j")
                made.append(Tick(round(100 * share, 2), words, hour == 0))
    return made


def steps(when: When) -> list[Step]:
    """Other times of the slider, and of the days before and after."""
    offered = [Step(words, at, slides=True) for words, at in when.steps()]
    before, after = when.begins_at, min(when.ends_at + SPAN, when.newest)
    offered.insert(0, Step(_("two days earlier"), before, slides=False))
    if when.ends_at < when.newest:
        offered.append(Step(_("two days later"), after, slides=False))
    return offered
