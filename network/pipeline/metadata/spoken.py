"""Which spans of time a set of reports speaks of."""

from django.db.models import QuerySet

from network.models import Report
from network.pipeline.ledger import blocks

CLOCK_OFF = 12 * blocks.HOUR
"""[s] How far a clock may be off, and with it the true times of a report from those it claims."""


def spans(reports: QuerySet[Report]) -> list[tuple[int, int]]:
    """Beginning and end of each unbroken run of blocks, in order; a lone report of long ago is a run of its own."""
    starts: set[int] = set()
    for first, last in reports.filter(problem="", first_at__isnull=False).values_list("first_at", "last_at"):
        starts.update(blocks.blocks(first - CLOCK_OFF, last + CLOCK_OFF))
    runs: list[tuple[int, int]] = []
    for start in sorted(starts):
        if runs and start == runs[-1][1]:
            runs[-1] = runs[-1][0], start + blocks.BLOCK
        else:
            runs.append((start, start + blocks.BLOCK))
    return runs
