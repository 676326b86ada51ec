"""Findings of the long run to rows and back."""

import time
from collections.abc import Iterable
from operator import attrgetter

from django.db.models import QuerySet

from network.models import Finding as Row
from network.models import Work
from network.pipeline.ledger import blocks, work
from network.quality.finding import Finding
from network.quality.lasting import LASTING

FIGURES = ("variable", "check_name", "begins_at", "ends_at", "strain", "size", "error", "hint")


def found_between(stations: Iterable[int], begins_at: int, ends_at: int) -> dict[int, list[Finding]]:
    """What was found about readings between the two times, by station."""
    return _by_station(
        Row.objects.filter(station__in=stations, begins_at__lt=ends_at, ends_at__gte=begins_at)
    )


def found_until(stations: Iterable[int], spell: int) -> dict[int, list[Finding]]:
    """What lasted to the end of the spell before, by station."""
    return _by_station(
        Row.objects.filter(
            station__in=stations, spell=spell - blocks.SPELL, ends_at=spell, check_name__in=LASTING
        )
    )


def _by_station(rows: QuerySet[Row]) -> dict[int, list[Finding]]:
    found: dict[int, list[Finding]] = {}
    for row in rows.order_by("station", "begins_at", "variable", "check_name"):
        found.setdefault(row.station_id, []).append(
            Finding(
                row.check_name,
                row.variable,
                row.begins_at,
                row.ends_at,
                row.strain,
                row.size,
                row.error,
                row.hint,
            )
        )
    return found


def row_of(station: int, spell: int, found: Finding) -> Row | None:
    """The part of a finding that lies in a spell, if any."""
    begins_at = max(found.begins_at, spell)
    ends_at = min(found.ends_at, spell + blocks.SPELL)
    if begins_at >= ends_at:
        return None
    return Row(
        station_id=station,
        variable=found.variable,
        check_name=found.check,
        spell=spell,
        begins_at=int(begins_at),
        ends_at=int(ends_at),
        strain=min(found.strain, 1e6),
        size=found.size,
        error=found.error,
        hint=found.hint[:60],
    )


def keep(village_id: int, spell: int, stations: Iterable[int], new: list[Row]) -> None:
    """Hold what a spell's look back found, and let readings be judged again where it changed."""
    old = list(Row.objects.filter(station__in=stations, spell=spell))
    told = attrgetter("station_id", *FIGURES)
    before, after = {told(row) for row in old}, {told(row) for row in new}
    changed = [row for row in (*old, *new) if told(row) not in before & after]
    if changed:
        Row.objects.filter(station__in=stations, spell=spell).delete()
        Row.objects.bulk_create(new)
        for row in changed:
            work.mark_checks(village_id, row.begins_at, row.ends_at)
        after_it = spell + blocks.SPELL
        if after_it < time.time() and any(
            row.ends_at == after_it and row.check_name in LASTING for row in changed
        ):
            work.mark(village_id, Work.Stage.LONG_RUN, [after_it])
