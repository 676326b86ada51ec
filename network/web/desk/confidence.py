"""How sure the hub is of a case, and how often something like it has been seen lately."""

import time
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from network.models import Case, Evidence
from network.pipeline.cases.faults import fault_of, how_sure
from network.pipeline.ledger import blocks

LATELY = 30
"""Days over which 'how often lately' is counted."""


@dataclass(frozen=True)
class Seen:
    """What the checks noted about one fault, lately."""

    evidence: list[Evidence]
    zone: ZoneInfo

    def of(self, case: Case) -> list[Evidence]:
        return [e for e in self.evidence if e.begins_at <= case.ends_at and e.ends_at >= case.begins_at]

    def how_sure(self, case: Case) -> str:
        """How many kinds of check speak, and whether that makes the readings wrong."""
        return how_sure(case.verdict, {case.check_name, *(one.check_name for one in self.of(case))})

    def how_often(self) -> str:
        """On how many of the last village days it was seen, today being one of them."""
        before = datetime.fromtimestamp(time.time() - LATELY * blocks.DAY, self.zone).date()
        days = {day for one in self.evidence for day in self._days(one) if day > before}
        return f"on {len(days)} of the last {LATELY} days"

    def _days(self, one: Evidence) -> Iterable[date]:
        return {datetime.fromtimestamp(at, self.zone).date() for at in (one.begins_at, one.ends_at)}


def lately(cases: Iterable[Case], zone: ZoneInfo) -> dict[tuple[int, str, str], Seen]:
    """What was seen lately, by fault, of everything the cases are about."""
    cases = list(cases)
    since = min([time.time() - LATELY * blocks.DAY, *(case.begins_at for case in cases)])
    found: dict[tuple[int, str, str], list[Evidence]] = {case.fault: [] for case in cases}
    stations = {case.station_id for case in cases}
    for one in Evidence.objects.filter(station__in=stations, ends_at__gte=since):
        fault = (one.station_id, *fault_of(one))
        if fault in found:
            found[fault].append(one)
    return {key: Seen(evidence, zone) for key, evidence in found.items()}
