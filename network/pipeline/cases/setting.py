"""Setting a station's clock right afterwards: from when its times are read as so much ahead of the true time."""

from datetime import datetime
from typing import Any

from django.db.models import Min

from network.models import Case, Decision, Observation
from network.pipeline.ledger import blocks
from network.pipeline.metadata.changes import touch
from network.pipeline.metadata.stretches import FOREVER, epoch
from network.pipeline.metadata.tongue import from_epoch
from stations.models import Clock

Parameters = dict[str, Any]

LARGEST = 12 * blocks.HOUR
"""[s] A clock further off shows a wrong date, which no setting mends."""


class NotPossible(ValueError):
    """The decision cannot be made; the sentence says why and what to do."""


def mended(case: Case, given: Parameters) -> tuple[Clock | None, Clock]:
    """The setting in force when the case began, if any, and the one to hold from then on, unsaved.

    ``given`` says ``fast_by``, how far the clock runs ahead of the true time [s], and may say ``since`` [UTC
    epoch s]. Settings hold by what the clock says, not by the true time. Raises NotPossible.
    """
    ahead = round(given.get("fast_by") or 0)
    if not ahead:
        raise NotPossible("Say by how many minutes its clock runs ahead; a minus says that it runs behind.")
    clocks = list(Clock.objects.filter(station=case.station))
    begins_at = _since(case, given, abs(ahead))
    held = next((one for one in clocks if _shown(one, begins_at) < epoch(one.ends_at)
                 and _shown(one, begins_at) >= epoch(one.begins_at)), None)  # fmt: skip
    shown = begins_at if held is None else _shown(held, begins_at)
    fast_by = ahead + (held.fast_by if held else 0)
    if abs(fast_by) > LARGEST:
        raise NotPossible("A clock more than twelve hours off shows a wrong date: its keeper must set it.")
    later = min((epoch(one.begins_at) for one in clocks if epoch(one.begins_at) > shown), default=FOREVER)
    made = Clock(
        station=case.station,
        zone=held.zone if held else "UTC",
        stamps=held.stamps if held else Clock.Stamps.END,
        fast_by=fast_by,
        begins_at=from_epoch(shown),
        ends_at=held.ends_at if held else None if later == FOREVER else from_epoch(later),
    )
    return held, made


def fix_clock(case: Case, given: Parameters, by: Any) -> Parameters:
    """Let a new setting hold; returns what taking it back needs. Raises NotPossible."""
    held, made = mended(case, given)
    ahead = round(given["fast_by"])
    first = epoch(made.begins_at) - abs(made.fast_by) - abs(ahead) - case.station.report_every
    taken = {"fast_by": ahead, "since": epoch(made.begins_at) - made.fast_by + ahead, "first": first}
    if held is not None and made.begins_at <= held.begins_at:
        Clock.objects.filter(pk=held.pk).update(fast_by=made.fast_by)
        taken |= {"clock": held.pk, "before": held.fast_by}
    else:
        if held is not None:
            Clock.objects.filter(pk=held.pk).update(ends_at=made.begins_at)
            taken |= {"ended_clock": held.pk, "ended": held.ends_at and held.ends_at.isoformat()}
        Clock.objects.bulk_create([made])
        taken["new_clock"] = made.pk
    touch(case.station, from_epoch(first))
    return taken


def take_back(decision: Decision) -> None:
    """Leave the settings as they were."""
    was = decision.parameters
    if "clock" in was:
        Clock.objects.filter(pk=was["clock"]).update(fast_by=was["before"])
    else:
        Clock.objects.filter(pk=was["new_clock"]).delete()
        ended = was.get("ended") and datetime.fromisoformat(was["ended"])
        Clock.objects.filter(pk=was.get("ended_clock")).update(ends_at=ended)
    touch(decision.station, from_epoch(was["first"]))


def _since(case: Case, given: Parameters, ahead: int) -> int:
    """From when the setting holds, by the true time as understood so far: as given, or where the case begins.

    A station that never was right is set right from its first word on.
    """
    if "since" in given:
        return int(given["since"])
    first = Observation.objects.filter(station=case.station).aggregate(at=Min("observed_at"))["at"]
    if first is None or first < case.begins_at - blocks.DAY:
        return case.begins_at
    return int(first) - ahead


def _shown(clock: Clock, true: int) -> int:
    """What the clock showed at a true time [UTC epoch s]."""
    late = clock.station.report_every if clock.stamps == Clock.Stamps.START else 0
    return true + clock.fast_by - late
