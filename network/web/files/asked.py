"""Which station and which days a file is of."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404
from django.utils.text import slugify

from network.models import Observation
from network.models.storage import Rows, read
from network.pipeline.ledger.blocks import DAY
from network.web.download import DAYS, measured
from network.web.moment import asked, beginning, read_day
from network.web.station import fetched
from stations.models import Station

MOST_DAYS = 366
"""A file that is made whole before it leaves holds no more; CSV goes out line by line and has no end."""

AT_ONCE = 31 * DAY
"""[s] So much is read at a time."""


@dataclass(frozen=True)
class Asked:
    """A station with all of its metadata, and village days, both included."""

    station: Station
    first: date
    last: date

    @property
    def begins_at(self) -> int:
        return beginning(self.first, self.station.village.clock)

    @property
    def ends_at(self) -> int:
        return beginning(self.last + timedelta(days=1), self.station.village.clock)

    @property
    def name(self) -> str:
        """A file's name without its ending."""
        return f"{slugify(self.station.name) or 'station'}-{self.first}-{self.last}"

    def variables(self) -> list[str]:
        return measured(self.station.pk, self.begins_at, self.ends_at)

    def rows(self, variables: list[str]) -> Iterator[Rows]:
        """Values and marks, a month or so at a time; an empty part is left out."""
        columns = (*variables, *(f"{name}_mark" for name in variables))
        for begins in range(self.begins_at, self.ends_at, AT_ONCE):
            rows = read(
                Observation, [self.station.pk], begins + 1, min(begins + AT_ONCE, self.ends_at) + 1, columns
            )
            if len(rows):
                yield rows


def asked_for(request: HttpRequest, village: str, station: int) -> Asked:
    """Village days ``?from=`` .. ``?to=`` of a station the reader may look at; without them the last seven.

    Raises Http404 for days that cannot be, and for more than a file holds.
    """
    found = get_object_or_404(
        fetched(Station.objects.open_to(request.user)), pk=station, household__village__slug=village
    )
    today = asked(request.GET, found.village.clock, datetime.now(UTC).timestamp()).day
    last = read_day(request.GET["to"]) if "to" in request.GET else today
    first = read_day(request.GET["from"]) if "from" in request.GET else last - timedelta(days=DAYS - 1)
    if first > last:
        raise Http404("The first day lies after the last: are the two swapped?")
    if (last - first).days >= MOST_DAYS:
        raise Http404(f"A file holds at most {MOST_DAYS} days: ask for a shorter span, or for CSV.")
    return Asked(found, first, last)
