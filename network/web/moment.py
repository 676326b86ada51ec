"""Which moment, day and span a reader asks for, in the village's time."""

from bisect import bisect_left
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from django.http import Http404, QueryDict

SPANS = {"day": 1, "week": 7, "month": 30, "year": 365}
"""Days in each span a chart may show."""

RECENT = 1200
"""[s] A moment no older is now: the frame that a map of now shows ended before."""


@dataclass(frozen=True)
class Moment:
    """A moment to look at [UTC epoch s], and whether it is now."""

    at: int
    zone: ZoneInfo
    now: bool

    @property
    def local(self) -> datetime:
        return datetime.fromtimestamp(self.at, self.zone)

    @property
    def day(self) -> date:
        # The value stamped midnight closes the day before.
        return datetime.fromtimestamp(self.at - 1, self.zone).date()

    def midnight(self, days: int = 0) -> int:
        """Beginning of the day, or of the one so many days later [UTC epoch s]."""
        return beginning(self.day + timedelta(days=days), self.zone)

    def span(self, name: str) -> tuple[int, int]:
        """Midnights around the span of that name which ends with this day [UTC epoch s]."""
        return self.midnight(1 - SPANS[name]), self.midnight(1)


def beginning(day: date, zone: ZoneInfo) -> int:
    """Midnight that begins a village day [UTC epoch s]."""
    return int(datetime(day.year, day.month, day.day, tzinfo=zone).timestamp())


def clock_changes(begins_at: int, ends_at: int, zone: ZoneInfo) -> list[tuple[int, int]]:
    """Changes of a clock within a span: the instant of each [UTC epoch s], and how far ahead of the span's beginning
    the clock stands from then on [s]."""

    def offset(seconds: int) -> int:
        return int(datetime.fromtimestamp(seconds, zone).replace(tzinfo=UTC).timestamp()) - seconds

    found = []
    for early, late in pairwise([*range(begins_at, ends_at, 86400), ends_at]):
        if offset(early) != offset(late):
            passed = bisect_left(range(early, late), True, key=lambda at: offset(at) == offset(late))
            found.append((early + passed, offset(late) - offset(begins_at)))
    return found


def asked(query: QueryDict, zone: ZoneInfo, now: float) -> Moment:
    """The moment of ``?at=`` (village time as 2026-11-25T14:20, or seconds since 1970), the end of ``?day=``, or now."""
    if text := query.get("at"):
        at = _moment(text, zone)
    elif text := query.get("day"):
        at = beginning(read_day(text) + timedelta(days=1), zone)
    else:
        return Moment(int(now), zone, now=True)
    return Moment(int(now), zone, now=True) if at > now - RECENT else Moment(at, zone, now=False)


def read_day(text: str) -> date:
    """A day written as 2026-11-25."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        day = date.min
    if not 2000 <= day.year < 2200:
        raise Http404(f"'{text[:40]}' is not a day: write it as 2026-11-25.")
    return day


def _moment(text: str, zone: ZoneInfo) -> int:
    try:
        found = datetime.fromtimestamp(int(text), zone) if text.isdecimal() else datetime.fromisoformat(text)
    except (ValueError, OverflowError, OSError):
        found = datetime.min
    if not 2000 <= found.year < 2200:
        raise Http404(f"'{text[:40]}' is not a time: write it as 2026-11-25T14:20.")
    return int((found if found.tzinfo else found.replace(tzinfo=zone)).timestamp())
