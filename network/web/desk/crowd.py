"""Cases that many stations have at once, told as one: weather or the hub, not the stations."""

from collections.abc import Iterable
from dataclasses import dataclass

from network.models import Case
from network.pipeline.cases.at_once import ONSET, beside
from stations.models import Station, Village


@dataclass(frozen=True)
class Crowd:
    """Stations that show the same within the same hours."""

    cases: list[Case]
    stations: int  # how many of those that count
    of: int  # how many count
    whose: str  # what that points to


def crowd_of(case: Case, others: Iterable[Case], counting: int) -> Crowd | None:
    """The cases that make one with this one, it first; None where it is a station's own."""
    if not case.at_once:
        return None
    cases = [case, *(one for one in beside(case, others) if one.pk != case.pk)]
    whose = "the hub or the network's time" if case.check_name == "clock" else "weather or the hub"
    return Crowd(cases, case.at_once, counting, whose)


def crowd_in(case: Case, village: Village) -> Crowd | None:
    """As ``crowd_of``, from the database; those already settled are left out."""
    near = Case.objects.of(village).filter(
        settled_at=None, begins_at__range=(case.begins_at - ONSET, case.begins_at + ONSET)
    )
    return crowd_of(case, near.select_related("station__household__village"), counting(village))


def counting(village: Village) -> int:
    """How many stations count now."""
    return Station.objects.of(village).filter(state=Station.State.LIVE).count()
