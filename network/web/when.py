"""Which day and which ten minutes a village's page shows."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Self
from zoneinfo import ZoneInfo

from django.db.models import OuterRef, Subquery
from django.http import Http404, QueryDict
from django.utils.translation import gettext as _

from network.models import Observation
from network.pipeline.ledger.blocks import DAY, FRAME, HOUR
from network.web.moment import asked, beginning
from stations.models import Station, Village

FRESH = HOUR / 2
"""[s] What is older than this is told as the past."""

QUORUM = 3
"""So many stations must have spoken up to a moment before it counts as the newest: one clock may be ahead."""


@dataclass(frozen=True)
class When:
    """A frame, and the span it is shown in [UTC epoch s]; spans are told in the village's zone."""

    at: int
    begins_at: int
    ends_at: int
    newest: int
    now: bool  # whether the newest frame is shown
    fresh: bool  # whether that is as good as now
    zone: ZoneInfo

    @classmethod
    def only(cls, at: int, zone: ZoneInfo) -> Self:
        """One frame, with the hour before it."""
        return cls(at, at - HOUR, at, at, now=False, fresh=False, zone=zone)

    def local(self, seconds: float | None = None) -> datetime:
        return datetime.fromtimestamp(self.at if seconds is None else seconds, self.zone)

    @property
    def day(self) -> date:
        return self.local(self.at - 1).date()

    @property
    def midnight(self) -> int:
        """Beginning of the day shown, on a frame's edge."""
        return beginning(self.day, self.zone) // FRAME * FRAME

    @property
    def day_over(self) -> bool:
        """Whether the whole of the day shown lies in the span."""
        return self.begins_at <= self.midnight and self.ends_at < self.newest

    @property
    def day_before(self) -> date:
        return self.day - timedelta(days=1)

    @property
    def day_after(self) -> date | None:
        after = self.day + timedelta(days=1)
        return after if beginning(after, self.zone) < self.newest else None

    def steps(self) -> list[tuple[str, int]]:
        """Other times to go to, in words."""
        offered = (
            (_("an hour earlier"), -HOUR),
            (_("ten minutes earlier"), -FRAME),
            (_("ten minutes later"), FRAME),
            (_("an hour later"), HOUR),
        )
        return [
            (words, self.at + by) for words, by in offered if self.begins_at < self.at + by <= self.ends_at
        ]


def when(query: QueryDict, village: Village, now: float) -> When | None:
    """What the reader asked for, or the newest frame; None while nobody has reported anything yet.

    The last day is the last 24 hours; an earlier one runs from midnight to midnight and opens at noon.
    """
    newest = newest_frame(village, now)
    if newest is None:
        return None
    moment = asked(query, village.clock, now)
    at = min(moment.at // FRAME * FRAME, newest)
    if "day" in query and "at" not in query and not moment.now:
        at = min(moment.midnight() // FRAME * FRAME + DAY // 2, newest)
    if at > newest - DAY:
        begins, ends = newest - DAY, newest
    else:
        day = datetime.fromtimestamp(at - 1, village.clock).date()
        begins, ends = (beginning(day + timedelta(days=n), village.clock) // FRAME * FRAME for n in (0, 1))
    is_newest = at == newest
    return When(at, begins, ends, newest, is_newest, is_newest and now - newest <= FRESH, village.clock)


def newest_frame(village: Village, now: float) -> int | None:
    """End of the last frame up to which a quorum has spoken [UTC epoch s]."""
    last = Observation.objects.filter(station=OuterRef("pk"), observed_at__lte=int(now)).order_by(
        "-observed_at"
    )
    found = Station.objects.of(village).annotate(last=Subquery(last.values("observed_at")[:1]))
    heard = sorted((seconds for seconds in found.values_list("last", flat=True) if seconds), reverse=True)
    return heard[:QUORUM][-1] // FRAME * FRAME if heard else None


def frame_asked(query: QueryDict) -> int:
    """The frame of ``?at=``, seconds since 1970 on the ten minutes."""
    text = query.get("at", "")
    if not (text.isdecimal() and len(text) < 12 and int(text) % FRAME == 0):
        raise Http404(f"'{text[:40]}' is not a time of a map: give seconds since 1970, on ten minutes.")
    return int(text)
