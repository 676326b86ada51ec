"""What was found once and is in nobody's view any more: it lasts until something shows that it has ended."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from network.quality.finding import Finding
from network.quality.record import Record
from network.quality.shifts import Shift, shifts

LASTING = ("break_point", "drift", "moved")
"""Checks that see how a fault comes, and weeks later cannot tell it from how the station always was."""

TOLD_ANEW = (*LASTING, "offset")


def lasting(
    record: Record, found: Sequence[Finding], before: Iterable[Finding], at: int
) -> Iterator[Finding]:
    """Those of ``before`` that held until ``at`` [UTC epoch s], from then on, unless found anew or ended.

    A record that begins at ``at`` or later is of a station whose papers have changed: nothing lasts beyond that.
    """
    if not record.seconds.size or record.seconds[0] > at:
        return
    for one in before:
        if any(each.variable == one.variable and each.check in TOLD_ANEW for each in found):
            continue
        shifted = shifts(record, one.variable or "station_pressure")
        ends = [each.begins_at for each in shifted if _undoes(each, one)]
        ends_at = min([*ends, int(record.seconds[-1])])
        if ends_at > at:
            yield replace(one, begins_at=at, ends_at=ends_at)


def _undoes(shift: Shift, found: Finding) -> bool:
    """Whether a break takes the station back by half the way at least; of a move its metres do not matter."""
    if not shift.at_once or not found.variable:
        return shift.at_once
    return shift.size * found.size < 0 and abs(shift.size) > abs(found.size) / 2
