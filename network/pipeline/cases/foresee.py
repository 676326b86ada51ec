"""What a decision about a case would change, worked out without saving anything."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from copy import copy
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np
from django.db.models import Count, prefetch_related_objects
from django.utils import timezone

from network.models import Case, Decision, Observation, Report
from network.models.observation import VALUES
from network.models.storage import Floats
from network.pipeline.cases import effects, setting
from network.pipeline.metadata.stretches import FOREVER
from network.pipeline.metadata.tongue import Tongue
from network.pipeline.neighbours.departures import Departures, departures_of, in_frames, readings_of, span_of
from network.pipeline.reports.hear import hear
from network.pipeline.verdicts.steward import SPEAKS, overrule
from network.quality.verdict import DERIVED_FROM, GOOD, MISSING, verdict_of
from network.science.variables import MAPPED
from stations.models import Channel

Kind = Decision.Kind

Marks = dict[str, tuple[np.ndarray, np.ndarray]]
"""By variable, marks and how many readings have each; a mark may come more than once."""


@dataclass(frozen=True)
class Foreseen:
    """The readings of a case and its departures, as they are and as they would be."""

    verdicts: Counter[int]  # readings of the case by verdict (BUFR 0 33 020)
    change: int  # how many of them would get another verdict; -1 where the checks must look again
    before: Departures | None = None
    after: Departures | None = None
    lost: Mapping[str, int] = field(default_factory=dict)  # good values for the maps, by variable


@dataclass(frozen=True)
class Foresight:
    """What decisions about one case would change: what several of them look at is read once."""

    case: Case
    _read: dict[tuple[int, int], Marks] = field(default_factory=dict)

    @cached_property
    def departures(self) -> Departures | None:
        """As they are."""
        return departures_of(self.case)

    @property
    def verdicts(self) -> Counter[int]:
        """How many readings have which verdict within the case's span."""
        return _counted(self._marks(self.case.begins_at, self.case.ends_at))

    def of(self, kind: str, span: tuple[int, int] | None = None, **given: Any) -> Foreseen:
        """What ``decisions.settle`` with the same arguments would come to. Raises NotPossible where it would."""
        case = self.case
        begins_at, ends_at = span or (case.begins_at, case.ends_at)
        marks = self._marks(begins_at, ends_at)
        verdicts = _counted(marks)
        if kind in SPEAKS:
            decision = Decision(
                station=case.station, kind=kind, variable=case.variable, begins_at=begins_at, ends_at=ends_at,
                parameters={"check": case.check_name}, made_at=timezone.now(),
            )  # fmt: skip
            return Foreseen(verdicts, _changed(decision, marks, begins_at))
        if kind in _MENDS:
            if begins_at != case.begins_at:
                given["since"] = begins_at
            after = _MENDS[kind](case, self.departures, given)
            return Foreseen(verdicts, -1, self.departures, after)
        return Foreseen(verdicts, 0, lost=_lost(case, begins_at) if kind == Kind.SET_ASIDE else {})

    def _marks(self, *span: int) -> Marks:
        if span not in self._read:
            about = Decision(variable=self.case.variable)
            self._read[span] = _marks(self.case, *span, [name for name in VALUES if about.covers(name)])
        return self._read[span]


def heard_as(case: Case, channel: Channel, unit: str) -> tuple[np.ndarray, Floats]:
    """Times and values of a case's readings [canonical unit], had their channel spoken another unit."""
    begins_at, ends_at = span_of(case)
    prefetch_related_objects([case.station], "clocks", "channels__instrument", "channels__calibrations")
    tongue = Tongue.of(case.station)
    other = copy(next(one for one in tongue.channels[channel.name] if one.pk == channel.pk))
    other.unit = unit
    reports = Report.objects.filter(
        station=case.station,
        problem="",
        last_at__gte=begins_at - tongue.shift,
        first_at__lt=ends_at + tongue.shift,
    ).only("body", "content_type", "received_at")
    heard = hear(replace(tongue, channels={channel.name: [other]}), reports, only=channel.name).heard
    seconds = np.concatenate([np.empty(0, np.int64), *(one.seconds for one in heard)])
    values = np.concatenate([np.empty(0), *(one.values for one in heard)])
    order = np.argsort(seconds, kind="stable")
    return seconds[order], values[order]


def _lost(case: Case, begins_at: int) -> dict[str, int]:
    """By mapped variable, the good values of what is set aside from then on, or worked out from it."""
    about = Decision(variable=case.variable)
    reached = [n for n in MAPPED if any(about.covers(one) for one in (n, *DERIVED_FROM.get(n, ())))]
    marks = _marks(case, begins_at, FOREVER, reached) if reached else {}
    return {name: _counted({name: one})[GOOD] for name, one in marks.items()}


def _marks(case: Case, begins_at: int, ends_at: int, names: Iterable[str]) -> Marks:
    """The marks of some variables over a span."""
    names = list(names)
    within = Observation.objects.filter(
        station=case.station_id, observed_at__gte=begins_at, observed_at__lte=ends_at
    )
    # Few marks ever stand together: the database counts them where they lie.
    alike = within.values_list(*(f"{name}_mark" for name in names)).annotate(Count("observed_at")).order_by()
    *columns, readings = np.array(list(alike), np.float64).reshape(-1, len(names) + 1).T
    return {
        name: (np.where(np.isnan(marks), MISSING, marks).astype(np.int64), readings.astype(np.int64))
        for name, marks in zip(names, columns, strict=True)
        if np.isfinite(marks).any()
    }


def _counted(marks: Marks) -> Counter[int]:
    counted: Counter[int] = Counter()
    for one, readings in marks.values():
        for verdict, count in zip(verdict_of(one).tolist(), readings.tolist(), strict=True):
            counted[verdict] += count
    del counted[MISSING]
    return counted


def _changed(decision: Decision, marks: Marks, at: int) -> int:
    """How many readings would get another verdict."""
    changed = 0
    for name, (one, readings) in marks.items():
        after = overrule({name: one}, decision.station_id, np.full(len(one), at), [decision])[name]
        changed += int(readings[verdict_of(after) != verdict_of(one)].sum())
    return changed


def _with_unit(case: Case, before: Departures | None, given: dict[str, Any]) -> Departures | None:
    channel, unit = effects.mended_unit(case, given.get("unit", ""))
    if before is None:
        return None
    return before.if_observed(in_frames(case.variable, *heard_as(case, channel, unit), before.at))


def _with_offset(case: Case, before: Departures | None, given: dict[str, Any]) -> Departures | None:
    effects.shifted(case, given)
    return None if before is None else before.if_observed(before.observed + given["offset"])


def _with_clock(case: Case, before: Departures | None, given: dict[str, Any]) -> Departures | None:
    setting.mended(case, given)
    if before is None:
        return None
    seconds, values = readings_of(case, before.variable, beyond=abs(round(given["fast_by"])))
    shifted = seconds - round(given["fast_by"])
    return before.if_observed(in_frames(before.variable, shifted, values, before.at))


_MENDS: dict[str, Callable[[Case, Departures | None, dict[str, Any]], Departures | None]] = {
    Kind.CHANGE_UNIT: _with_unit,
    Kind.CALIBRATE: _with_offset,
    Kind.FIX_CLOCK: _with_clock,
}
