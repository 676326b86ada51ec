"""How sure the hub is of a case, and how often something like it has been seen lately."""

import time
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from network.models import Case, Evidence
from network.pipeline import blocks
from network.quality.checks import CHECKS
from network.quality.verdict import WRONG

LATELY = 30
"""Days over which 'how often lately' is counted."""

COUNTS = {1: "one kind of check", 2: "two kinds of check", 3: "three kinds of check"}


@dataclass(frozen=True)
class Seen:
    """What the checks noted about one variable of one station, lately."""

    evidence: list[Evidence]
    zone: ZoneInfo

    def of(self, case: Case) -> list[Evidence]:
        return [e for e in self.evidence if e.begins_at <= case.ends_at and e.ends_at >= case.begins_at]

    def how_sure(self, case: Case) -> str:
        """How many kinds of check speak, and whether that makes the readings wrong."""
        names = {one.check_name for one in self.of(case)} or {case.check_name}
        kinds = {CHECKS[name].family for name in names}
        said = COUNTS.get(len(kinds), f"{len(kinds)} kinds of check")
        if case.verdict != WRONG:
            return f"not sure: {said} alone" if len(kinds) == 1 else f"not sure: {said}"
        if any(CHECKS[name].decisive for name in names):
            return "sure: such a value decides by itself"
        return f"fairly sure: {said}, strongly" if len(kinds) == 1 else f"sure: {said} agree"

    def how_often(self) -> str:
        """On how many of the last village days it was seen."""
        days = {day for one in self.evidence for day in self._days(one)}
        return f"on {len(days)} of the last {LATELY} days"

    def _days(self, one: Evidence) -> Iterable[date]:
        return {datetime.fromtimestamp(at, self.zone).date() for at in (one.begins_at, one.ends_at)}


def lately(cases: Iterable[Case], zone: ZoneInfo) -> dict[tuple[int, str], Seen]:
    """What was seen lately, by station and variable, of everything the cases are about."""
    cases = list(cases)
    since = min([time.time() - LATELY * blocks.DAY, *(case.begins_at for case in cases)])
    found: dict[tuple[int, str], list[Evidence]] = {(c.station_id, c.variable): [] for c in cases}
    stations = {case.station_id for case in cases}
    for one in Evidence.objects.filter(station__in=stations, ends_at__gte=since):
        if (one.station_id, one.variable) in found:
            found[one.station_id, one.variable].append(one)
    return {key: Seen(evidence, zone) for key, evidence in found.items()}
