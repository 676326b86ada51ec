"""How a station speaks: its channels, units, calibrations and clock, from when to when."""

import itertools
from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from network.pipeline.metadata.stretches import epoch
from network.science import calibration
from network.science.units import UnknownUnit, WrongDimension, convert
from network.science.variables import VARIABLES
from stations.models import Channel, Clock, Station

Floats = NDArray[np.float64]
Times = NDArray[np.int64]


class NotUnderstoodUnit(ValueError):
    """What a channel said cannot be its variable; the sentence says why."""


@dataclass(frozen=True)
class Tongue:
    """Everything needed to turn what a station said into values."""

    station: int
    report_every: int
    channels: dict[str, list[Channel]]
    clocks: list[Clock]

    @classmethod
    def of(cls, station: Station) -> "Tongue":
        """Of a station, best with ``channels__calibrations``, ``channels__instrument`` and ``clocks`` fetched."""
        channels: dict[str, list[Channel]] = {}
        for channel in station.channels.all():
            channels.setdefault(channel.name, []).append(channel)
        return cls(station.pk, station.report_every, channels, list(station.clocks.all()))

    def zone(self, received_at: float) -> ZoneInfo | None:
        """The zone of times sent without one, as of when they came."""
        for clock in reversed(self.clocks):
            if epoch(clock.begins_at) <= received_at < epoch(clock.ends_at):
                return ZoneInfo(clock.zone)
        return None

    def true_times(self, claimed: Times) -> Times:
        """The end of the period measured, by a true clock."""
        true = claimed.copy()
        for clock in self.clocks:
            held = (claimed >= epoch(clock.begins_at)) & (claimed < epoch(clock.ends_at))
            starts = self.report_every if clock.stamps == Clock.Stamps.START else 0
            true[held] = claimed[held] - clock.fast_by + starts
        return true

    @property
    def fast_by(self) -> int:
        """[s] How far its clock is known to run ahead at the most."""
        return max((clock.fast_by for clock in self.clocks if clock.fast_by > 0), default=0)

    @property
    def shift(self) -> int:
        """[s] How far true times may lie from claimed ones."""
        return max((abs(clock.fast_by) + self.report_every for clock in self.clocks), default=0)

    @property
    def remembers(self) -> bool:
        """Whether any channel sends a running total, which needs the reading before."""
        return any(
            c.kind == "tips" and c.parameters.get("counts") == "total"
            for channels in self.channels.values()
            for channel in channels
            for c in channel.calibrations.all()
        )


def understand(channel: Channel, unit: str, values: Floats, seconds: Times) -> Floats:
    """What a channel said, in its variable's canonical unit.

    ``values`` and ``seconds`` have shape (n,), ordered in time; ``unit`` is what the device named, or
    empty for the channel's own. Raises NotUnderstoodUnit.
    """
    variable = VARIABLES[channel.instrument.variable]
    calibrations = list(channel.calibrations.all())
    edges = [-(1 << 60), *(epoch(c.begins_at) for c in calibrations), 1 << 60]
    result = np.full(len(values), np.nan)
    for index, (first, last) in enumerate(itertools.pairwise(edges)):
        held = (seconds >= first) & (seconds < last)
        if held.any():
            made = calibrations[index - 1] if index else None
            kind, parameters = (made.kind, made.parameters) if made else (None, {})
            result[held] = apply(
                variable.name, kind, parameters, unit or channel.unit, values[held], seconds[held]
            )
    return result


def apply(name: str, kind: str | None, parameters: dict, unit: str, values: Floats, seconds: Times) -> Floats:
    """Numbers in a unit as a variable in its canonical unit, by a kind of calibration, or by none.

    Raises NotUnderstoodUnit.
    """
    variable = VARIABLES[name]
    try:
        if kind is None:
            return convert(values, unit, variable.unit)
        takes = calibration.input_unit(kind, parameters)
        if takes != "count":  # a count is a bare number: there is nothing to convert
            values = convert(values, unit, variable.unit if takes == "same" else takes)
        return calibration.apply(kind, parameters, values, seconds)
    except (UnknownUnit, WrongDimension, calibration.WrongCalibration) as problem:
        raise NotUnderstoodUnit(f"As {variable.words}: {problem}") from problem


def from_epoch(seconds: float) -> datetime:
    """The moment of UTC epoch seconds."""
    return datetime.fromtimestamp(seconds, UTC)
