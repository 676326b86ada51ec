"""Faults that many stations seem to have within the same hours: that is weather, or the hub, not the stations."""

from collections.abc import Iterable

from network.models import Case
from network.pipeline.ledger import blocks
from stations.models import Station

ONSET = 3 * blocks.HOUR
"""[s] Cases that begin no further apart began together: a front crosses a village in less."""

FEWEST = 3
"""So many stations at least."""


def recount(village: int, times: Iterable[int]) -> None:
    """Say of every case that began around one of the times whether many stations have it at once."""
    times = sorted(times)
    if not times:
        return
    counting = set(
        Station.objects.filter(household__village=village, state=Station.State.LIVE).values_list(
            "pk", flat=True
        )
    )
    around = Case.objects.filter(
        station__household__village=village,
        begins_at__gte=times[0] - 2 * ONSET,
        begins_at__lte=times[-1] + 2 * ONSET,
    )
    cases = list(around)
    for case in cases:
        if any(abs(case.begins_at - at) <= ONSET for at in times):
            stations = {other.station_id for other in beside(case, cases)} & counting
            shared = len(stations) if len(stations) >= max(FEWEST, len(counting) / 2) else 0
            if shared != case.at_once:
                Case.objects.filter(pk=case.pk).update(at_once=shared)


def beside(case: Case, others: Iterable[Case]) -> list[Case]:
    """The cases, it among them, of the same kind that began with it."""
    return [
        one
        for one in others
        if one.fault[1:] == case.fault[1:] and abs(one.begins_at - case.begins_at) <= ONSET
    ]
