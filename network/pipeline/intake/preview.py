"""What a table would become, column by column, by the code that would take it in; nothing is stored."""

from dataclasses import dataclass

import numpy as np

from network.pipeline.intake.backfill import Plan
from network.pipeline.reports.hear import Hearing
from stations.models import Channel


@dataclass(frozen=True)
class Becomes:
    """One column as the hub would understand it."""

    column: str
    channel: str
    unit: str  # as the table names it, or the channel's own
    said: np.ndarray  # (n,) numbers as the table has them
    first_at: int  # UTC epoch seconds; 0 where there is no number
    last_at: int
    variable: str  # '' where no channel bears the name
    values: np.ndarray  # (m,) in the variable's canonical unit, ordered by time
    problem: str  # a sentence where not all of it is understood


def preview(plan: Plan) -> list[Becomes]:
    """Each column that holds values, in the table's order."""
    hearing = plan.hearing()
    channels = {channel.name: channel for channel in plan.station.channels.select_related("instrument")}
    return [
        _becomes(plan, hearing, channels, column, name, unit)
        for column, (name, unit) in plan.mapping.channels.items()
    ]


def _becomes(
    plan: Plan, hearing: Hearing, channels: dict[str, Channel], column: str, name: str, unit: str
) -> Becomes:
    said = sorted((one.at, one.value) for one in plan.said if one.name == name)
    short = name.rpartition(":")[2].rpartition("/")[2]
    channel = channels.get(name) or channels.get(short)
    heard = [one for one in hearing.heard if channel is not None and one.channel.name == channel.name]
    problem = hearing.problems.get(name, "")
    if not said:
        problem = "It holds no numbers."
    elif channel is None:
        problem = "No channel of this station bears this name: it is kept, and understood once one does."
    elif name in hearing.unknown:
        problem = f"The channel begins on {channel.begins_at:%Y-%m-%d}: what is older waits until it begins earlier."
    return Becomes(
        column=column,
        channel=name,
        unit=unit or (channel.unit if channel else ""),
        said=np.array([value for _, value in said]),
        first_at=said[0][0] if said else 0,
        last_at=said[-1][0] if said else 0,
        variable=channel.instrument.variable if channel else "",
        values=np.concatenate([one.values for one in heard]) if heard else np.empty(0),
        problem=problem,
    )
