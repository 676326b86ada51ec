"""The day, month or year that a record is of, in the village's time."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

import numpy as np
from django.http import Http404
from django.utils import dateformat
from django.utils.translation import gettext as _

from network.pipeline.records.record import Times, hour_edges
from network.web.moment import beginning
from network.web.quantities import day_words

MONTHS = 12


@dataclass(frozen=True)
class Span:
    """A year, one of its months, or one of its days, and how far it has come."""

    zone: ZoneInfo
    now: float  # [UTC epoch s]
    year: int
    month: int | None = None
    day: int | None = None

    @classmethod
    def of(
        cls, zone: ZoneInfo, now: float, year: int, month: int | None = None, day: int | None = None
    ) -> "Span":
        """The span of an address. Raises Http404 for a day that no calendar has, or that has not begun."""
        span = cls(zone, now, year, month, day)
        try:
            known = 2000 <= year < 2200 and span.begins_at <= now
        except ValueError:
            known = False
        if not known:
            raise Http404("There is no such day, month or year in the record.")
        return span

    @property
    def kind(self) -> str:
        return "year" if self.month is None else "month" if self.day is None else "day"

    @property
    def first(self) -> date:
        return date(self.year, self.month or 1, self.day or 1)

    @property
    def next_first(self) -> date:
        """The day after its last."""
        if self.kind == "day":
            return self.first + timedelta(days=1)
        return date(self.year + 1, 1, 1) if self.kind == "year" else _month_after(self.first)

    @property
    def begins_at(self) -> int:
        return beginning(self.first, self.zone)

    @property
    def ends_at(self) -> int:
        return beginning(self.next_first, self.zone)

    @property
    def running(self) -> bool:
        return self.now < self.ends_at

    @property
    def name(self) -> str:
        """'2026', 'November' or '25 November'."""
        if self.kind == "day":
            return day_words(self.first)
        return str(self.year) if self.kind == "year" else dateformat.format(self.first, "F")

    @property
    def title(self) -> str:
        """With its year: '2026', 'November 2026', 'Wednesday 25 November 2026'."""
        if self.kind == "day":
            return day_words(self.first, weekday=True, year=True)
        return str(self.year) if self.kind == "year" else dateformat.format(self.first, "F Y")

    @property
    def so_far(self) -> str:
        """How far a running span is told: 'to the end of 24 November'."""
        last = self.days[-1] if self.days else None
        return _("to the end of {day}").format(day=day_words(last)) if self.running and last else ""

    @cached_property
    def days(self) -> list[date]:
        """Its days that are over."""
        count = (self.next_first - self.first).days
        days = [self.first + timedelta(days=i) for i in range(count)]
        return [day for day in days if beginning(day + timedelta(days=1), self.zone) <= self.now]

    def day_edges(self) -> Times:
        """Their beginnings, and the end of the last [UTC epoch s]."""
        days = self.days
        after = [*days, days[-1] + timedelta(days=1)] if days else [self.first]
        return np.array([beginning(day, self.zone) for day in after], dtype=np.int64)

    def hour_edges(self) -> Times:
        """The hours of its days that are over; of a single day those up to now."""
        ends = min(self.ends_at, self.now) if self.kind == "day" else self.day_edges()[-1]
        return hour_edges(self.begins_at, int(ends))

    def month_edges(self) -> Times:
        """Beginnings of a year's months that have begun, and the end of the last."""
        firsts = [date(self.year, month, 1) for month in range(1, MONTHS + 1)]
        begun = [first for first in firsts if beginning(first, self.zone) <= self.now]
        return np.array(
            [beginning(first, self.zone) for first in [*begun, _month_after(begun[-1])]], dtype=np.int64
        )

    def before(self) -> "Span":
        """The one of its kind before it."""
        eve = self.first - timedelta(days=1)
        return self._same_kind(eve)

    def after(self) -> "Span | None":
        """The one after it, if it has begun."""
        found = self._same_kind(self.next_first)
        return found if found.begins_at <= self.now else None

    def _same_kind(self, day: date) -> "Span":
        parts = (day.year, day.month, day.day)[: {"year": 1, "month": 2, "day": 3}[self.kind]]
        return Span(self.zone, self.now, *parts)

    @property
    def path(self) -> str:
        """The end of its address: '2026/11/25/'."""
        return "".join(f"{part}/" for part in (self.year, self.month, self.day) if part is not None)

    @property
    def last(self) -> date:
        """Its last day, or today."""
        return min(self.next_first - timedelta(days=1), self.today)

    @property
    def today(self) -> date:
        return datetime.fromtimestamp(self.now, self.zone).date()


def _month_after(first: date) -> date:
    return date(first.year + first.month // MONTHS, first.month % MONTHS + 1, 1)
