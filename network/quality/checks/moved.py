"""A station that stands somewhere else than its papers say, since a certain hour."""

from collections.abc import Iterator, Sequence

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.finding import Finding
from network.quality.record import Record
from network.quality.shifts import Shift, shifts
from network.quality.spans import COMPARED, QUARTERS, spans, stands_off
from network.quality.standing import standing

PASCALS_PER_METRE = 11.7
"""[Pa/m] Air near the ground: density 1.2 kg/m3 times gravity."""

TOGETHER = 12 * 3600
"""[s] Breaks no further apart are one event."""

MOST_OF_ONE = 16.0
"""What one quarter of the day in one variable may say: weather alone may do strange things once."""


def seek(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    breaks = {variable: found for variable in COMPARED if (found := broken(record, variable, thresholds))}
    ended = [
        found.begins_at
        for name in COMPARED
        for found in shifts(record, name)
        if found.ends_another(thresholds[name])
    ]
    breaks = {
        name: found
        for name, found in breaks.items()
        if not any(abs(found.begins_at - at) <= TOGETHER for at in ended)
    }
    for variable in sorted(breaks, key=lambda name: (name != "station_pressure", -breaks[name].strain)):
        found = breaks[variable]
        beside = [
            other
            for name, other in breaks.items()
            if name != variable and abs(other.begins_at - found.begins_at) <= TOGETHER
        ]
        needed = thresholds["witness"] * (1.0 + thresholds["of_itself"] / abs(found.size))
        if variable == "station_pressure" and (beside or witness(record, variable, found) > needed):
            uphill = -found.size / PASCALS_PER_METRE
            strain = abs(found.size) / thresholds["station_pressure"]
            hint = "higher up than its papers say" if uphill > 0 else "lower down than its papers say"
        elif beside:
            uphill, hint = 0.0, "at another place than its papers say"
            strain = abs(found.size) / thresholds[variable]
        else:
            continue
        error = found.error / PASCALS_PER_METRE if uphill else 0.0
        yield Finding("moved", "", found.begins_at, found.ends_at, strain, uphill, error, hint)
        return


def broken(record: Record, variable: str, thresholds: Thresholds) -> Shift | None:
    """The break in one variable, if there is one large enough to ask the others about."""
    return next(
        (
            found
            for found in shifts(record, variable)
            if found.at_once
            and found.steady >= thresholds["steady"]
            and abs(found.size) > max(thresholds[variable], 3 * found.error)
        ),
        None,
    )


def witness(record: Record, variable: str, found: Shift) -> float:
    """How much the other variables changed with it: mean of squared changes, in standard errors; 1 by chance."""
    squares = [
        square
        for other in COMPARED
        if other not in (variable, "station_pressure")
        for square in changes(record, other, found.begins_at, found.ends_at)
    ]
    return float(np.mean(squares)) if squares else 0.0


def changes(record: Record, variable: str, begins_at: int, ends_at: int) -> list[float]:
    """The squared change of each quarter of the day, in squared standard errors, none above ``MOST_OF_ONE``."""
    seen = spans(record, stands_off(record, variable))
    inside = (seen.ends > begins_at + 3 * 3600) & (seen.ends <= ends_at + 3 * 3600)
    squares = []
    for quarter in range(QUARTERS):
        here = (seen.quarter == quarter) & np.isfinite(seen.values)
        with_it, without = seen.values[here & inside], seen.values[here & ~inside]
        if min(with_it.size, without.size) >= 2:
            difference = with_it.mean() - without.mean()
            freedom = with_it.size + without.size - 2
            variance = (with_it.size * with_it.var() + without.size * without.var()) / freedom
            error = variance * (1 / with_it.size + 1 / without.size)
            squares.append(min(float(difference**2 / error), MOST_OF_ONE) if error > 0 else 0.0)
    return squares


def explains(moves: Sequence[Finding], found: Shift) -> bool:
    """Whether a break is part of a move."""
    return any(abs(move.begins_at - found.begins_at) <= TOGETHER for move in moves)


CHECK = Check(
    name="moved",
    bit=26,
    family="long run",
    source="common practice: breaks in several variables at one time, and pressure by the hydrostatic equation",
    thresholds={
        "steady": 0.5,
        "witness": 3.0,  # mean squared change of the other variables, in standard errors
        "of_itself": 300.0,  # [Pa] for a break of this size the double: a barometer may do that of itself
        "air_temperature": 0.6,  # least size, each in the variable's own unit
        "relative_humidity": 0.08,
        "station_pressure": 100.0,
        "wind_speed": 0.4,  # share of the expected wind
    },
    needs="departures from the neighbours in two variables, pressure above all",
    meaning="Since a certain hour the station seems to stand {hint}.",
    advice="If it was moved, please enter its new place and elevation from that day on. If it was not, tell the"
    " steward: several sensors changed at once.",
    judge=standing("moved"),
    seek=seek,
    of_station=True,
)
