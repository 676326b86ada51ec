"""The last day at a gate as a small chart: a line in its band. Places are in per cent across and pixels down."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from network.models.storage import Floats
from network.pipeline.ledger.blocks import DAY, FRAME
from network.science.variables import VARIABLES
from network.web.axes import decimals, multiples, round_step
from network.web.quantities import by_format, decimals_of, in_shown_unit, unit_in_words, written
from network.web.quantities import hour as clocked
from network.web.series_axes import ACROSS, BOTTOM, HEIGHT, Scale, Spot

APART = 1.5 * FRAME
"""[s] Estimates further apart are not joined."""


@dataclass(frozen=True)
class GatePicture:
    """Everything the chart in network/_gate.html shows."""

    unit: str
    line: str
    band: str
    levels: list[Spot]
    times: list[Spot]
    begins_at: int
    ends_at: int
    height: int = HEIGHT
    bottom: float = BOTTOM
    across: int = int(ACROSS)


def gate_picture(
    variable: str, at: Floats, value: Floats, low: Floats, high: Floats, ends_at: int, zone: ZoneInfo
) -> GatePicture:
    """Draw estimates (t,) and their intervals [canonical unit] over the day up to ``ends_at``."""
    shown = [in_shown_unit(variable, part) for part in (value, low, high)]
    scale = _scale(variable, shown, ends_at)
    runs = np.split(np.arange(len(at)), np.flatnonzero(np.diff(at) > APART) + 1)
    line, band = "", ""
    for run in runs:
        middle, lower, upper = (part[run] for part in shown)
        line += "M" + scale.points(at[run], middle)
        band += f"M{scale.points(at[run], upper)}L{scale.points(at[run][::-1], lower[::-1])}Z"
    return GatePicture(
        unit=unit_in_words(variable),
        line=line,
        band=band,
        levels=list(_levels(scale)),
        times=list(_times(scale, zone)),
        begins_at=scale.begins_at,
        ends_at=scale.ends_at,
    )


def _scale(variable: str, shown: list[Floats], ends_at: int) -> Scale:
    """High enough that a quiet day looks quiet."""
    _, low, high = shown
    least = 10.0 ** (1 - decimals_of(variable))
    bottom, top = float(np.min(low)), float(np.max(high))
    if VARIABLES[variable].limits.low == 0.0:
        bottom = 0.0
    spare = max(least - (top - bottom), 0.0)
    bottom, top = (bottom, top + spare) if bottom == 0.0 else (bottom - spare / 2, top + spare / 2)
    return Scale(ends_at - DAY, ends_at, bottom, top)


def _levels(scale: Scale) -> Iterator[Spot]:
    step = round_step((scale.high - scale.low) / 4)
    for value in multiples(step, scale.low, scale.high):
        yield Spot(0, round(float(scale.y(value)), 1), words=written(float(value), decimals(step)))


def _times(scale: Scale, zone: ZoneInfo) -> Iterator[Spot]:
    """Every sixth hour of a clock; a midnight bears its day."""
    first = datetime.fromtimestamp(scale.begins_at, zone).date()
    for day in (first, first + timedelta(days=1)):
        for hour in range(0, 24, 6):
            local = datetime(day.year, day.month, day.day, hour, tzinfo=zone)
            if scale.begins_at < local.timestamp() < scale.ends_at:
                words = clocked(local) if hour else by_format(local, "D j")
                yield Spot(scale.percent(local.timestamp()), HEIGHT, "" if hour else "midnight", words)
