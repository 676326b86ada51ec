"""What a decision about a case would change, worked out without saving anything."""

from collections import Counter
from collections.abc import Callable
from copy import copy
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from network.models import Case, Decision, Observation, Report
from network.models.storage import Floats, read
from network.pipeline import effects
from network.pipeline.departures import Departures, departures_of, in_frames, span_of
from network.pipeline.hear import hear
from network.pipeline.steward import SPEAKS
from network.pipeline.tongue import Tongue
from network.quality.verdict import GOOD, MISSING, verdict_of
from stations.models import Channel, Station

Kind = Decision.Kind


@dataclass(frozen=True)
class Foreseen:
    """The readings of a case and its departures, as they are and as they would be."""

    verdicts: Counter[int]  # readings of the case by verdict (BUFR 0 33 020)
    change: int  # how many of them would get another verdict; -1 where the checks must look again
    before: Departures | None = None
    after: Departures | None = None


def foresee(case: Case, kind: str, **given: Any) -> Foreseen:
    """What ``decisions.settle`` with the same arguments would come to. Raises NotPossible where it would."""
    verdicts = _verdicts(case)
    if kind in SPEAKS:
        untouched = {GOOD, SPEAKS[kind]}  # of a span rejected, what is good stays good
        return Foreseen(verdicts, sum(n for verdict, n in verdicts.items() if verdict not in untouched))
    if kind in _MENDS:
        before = departures_of(case)
        after = _MENDS[kind](case, before, given)
        return Foreseen(verdicts, -1, before, after)
    return Foreseen(verdicts, 0)


def good_since(case: Case) -> int:
    """How many good readings of the variable from the case's beginning on the maps would lose."""
    mark = f"{case.variable}_mark"
    return Observation.objects.filter(
        station=case.station, observed_at__gte=case.begins_at, **{mark: GOOD}
    ).count()


def heard_as(case: Case, channel: Channel, unit: str) -> tuple[np.ndarray, Floats]:
    """Times and values of a case's readings [canonical unit], had their channel spoken another unit."""
    begins_at, ends_at = span_of(case)
    stations = Station.objects.prefetch_related("clocks", "channels__instrument", "channels__calibrations")
    tongue = Tongue.of(stations.get(pk=case.station_id))
    other = copy(next(one for one in tongue.channels[channel.name] if one.pk == channel.pk))
    other.unit = unit
    reports = Report.objects.filter(
        station=case.station,
        problem="",
        last_at__gte=begins_at - tongue.shift,
        first_at__lt=ends_at + tongue.shift,
    ).only("body", "content_type", "received_at")
    heard = hear(replace(tongue, channels={channel.name: [other]}), reports).heard
    seconds = np.concatenate([np.empty(0, np.int64), *(one.seconds for one in heard)])
    values = np.concatenate([np.empty(0), *(one.values for one in heard)])
    order = np.argsort(seconds, kind="stable")
    return seconds[order], values[order]


def _verdicts(case: Case) -> Counter[int]:
    column = f"{case.variable}_mark"
    marks = read(Observation, [case.station_id], case.begins_at, case.ends_at + 1, (column,)).columns[column]
    verdicts = verdict_of(marks[np.isfinite(marks)].astype(np.int64))
    return Counter(verdicts[verdicts != MISSING].tolist())


def _with_unit(case: Case, before: Departures | None, given: dict[str, Any]) -> Departures | None:
    channel, unit = effects.mended_unit(case, given.get("unit", ""))
    if before is None:
        return None
    return before.if_observed(in_frames(case.variable, *heard_as(case, channel, unit), before.at))


def _with_offset(case: Case, before: Departures | None, given: dict[str, Any]) -> Departures | None:
    effects.shifted(case, given["offset"])
    return None if before is None else before.if_observed(before.observed + given["offset"])


_MENDS: dict[str, Callable[[Case, Departures | None, dict[str, Any]], Departures | None]] = {
    Kind.CHANGE_UNIT: _with_unit,
    Kind.CALIBRATE: _with_offset,
}
