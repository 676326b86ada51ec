"""How soon the hub could have said so: the engines asked again with everything after a moment taken away."""

from collections.abc import Callable

from django.db import transaction

from network.models import Evidence, Observation
from network.pipeline.ledger import blocks
from network.pipeline.neighbours import weeks
from network.pipeline.verdicts.check import check
from network.quality import register
from network.quality.checks import CHECKS
from stations.models import Station
from tests.faults.kind import Kind

SOON = (0.0, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 24.0)
"""[h] Moments after the first affected reading at which the checks of a day are asked."""

LATER = (24.0, 48.0, 72.0, 96.0, 120.0, 168.0, 240.0, 336.0)
"""[h] Moments at which the long run is asked."""


def by(station: Station, kind: Kind, first: int, last: int, cut: int) -> bool:
    """Whether a check that may speak of it could have spoken at ``cut`` [UTC epoch s]."""
    named = kind.right | kind.also
    sought = named & _long_run()
    return _checked(station, kind, named, first, cut) or _sought(station, sought, first, last, cut)


def hours(station: Station, kind: Kind, first: int, last: int) -> float | None:
    """From the first affected reading until a check that may speak of it speaks [h]; None where none did."""
    named = kind.right | kind.also
    soon = _earliest(SOON, lambda cut: _checked(station, kind, named, first, cut), first)
    if soon is not None:
        return soon
    sought = named & _long_run()
    if not sought:
        return None
    return _earliest(LATER, lambda cut: _sought(station, sought, first, last, cut), first)


def _earliest(grid: tuple[float, ...], found: Callable[[int], bool], first: int) -> float | None:
    """The first of the moments at which it is found, by halving: what is known once stays known."""
    if not found(first + int(grid[-1] * 3600)):
        return None
    low, high = 0, len(grid) - 1
    while low < high:
        middle = (low + high) // 2
        if found(first + int(grid[middle] * 3600)):
            high = middle
        else:
            low = middle + 1
    return grid[low]


def _checked(station: Station, kind: Kind, named: frozenset[str], first: int, cut: int) -> bool:
    """Whether the checks of a day speak of it when nothing later than ``cut`` is known."""
    village = station.household.village_id
    with transaction.atomic():
        after = Observation.objects.filter(station__household__village=village, observed_at__gt=cut)
        after.filter(observed_at__lte=cut + blocks.BLOCK + blocks.AHEAD).delete()  # further no check looks
        for block in blocks.blocks(first, cut):
            check(village, block)()
        about = Evidence.objects.filter(
            station=station, variable__in=[*kind.touches, ""], ends_at__gte=first, begins_at__lte=cut
        )
        spoken = about.filter(check_name__in=named - _long_run()).exists()
        transaction.set_rollback(True)
    return spoken


def _long_run() -> frozenset[str]:
    return frozenset(name for name, one in CHECKS.items() if one.seek is not None)


def _sought(station: Station, sought: frozenset[str], first: int, last: int, cut: int) -> bool:
    """Whether the long run finds it in a record that ends at ``cut``."""
    spell = cut // blocks.SPELL * blocks.SPELL
    begins_at = spell - blocks.BEHIND
    return any(
        found.check in sought and found.begins_at <= last and found.ends_at >= first
        for record in weeks.records(station.household.village, begins_at, cut // 600 * 600)
        if record.station == station.pk
        for found in register.look_back(record)
    )
