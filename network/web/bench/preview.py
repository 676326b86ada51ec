"""The station's last day, as it is and as a calibration would have it."""

from dataclasses import dataclass

import numpy as np

from network.models.storage import Floats
from network.pipeline.metadata.tongue import NotUnderstoodUnit, Times, apply, from_epoch
from network.science.units import sign
from network.web.bench.helper import Bench, Found
from network.web.quantities import figure, in_shown_unit, shown_unit

WIDTH, HEIGHT, TOP, FOOT = 420.0, 186.0, 20.0, 148.0
"""Beneath the foot there is room for its figure, off any line that rests there, and for the times."""

ROWS = 6


@dataclass(frozen=True)
class Row:
    """One moment: what was said, what it is taken for, what it would be."""

    at: object
    says: str
    now: str
    then: str


@dataclass(frozen=True)
class Preview:
    """Everything network/_bench_preview.html may show; paths in units of its picture."""

    rows: tuple[Row, ...]
    now: str  # path of the line that is
    then: str  # path of the line that would be
    low: str
    high: str
    unit: str
    since: object
    until: object
    totals: str = ""
    width: float = WIDTH
    height: float = HEIGHT
    top: float = TOP
    foot: float = FOOT


def preview(bench: Bench, found: Found | None) -> Preview | None:
    """The last day's readings under both; None where it has said nothing."""
    said = bench.lately
    if not said.values.size:
        return None
    present = bench.present
    now = _values(bench, present.kind if present else None, present.parameters if present else {})
    then = _values(bench, found.kind, found.parameters) if found else np.full(said.values.size, np.nan)
    name = bench.variable.name
    drawn = np.vstack([now, then])
    if bench.variable.summary == "sum":  # what has fallen so far tells more than a tip here and there
        drawn = np.where(np.isfinite(drawn).any(axis=1, keepdims=True), np.nancumsum(drawn, axis=1), np.nan)
    shown = in_shown_unit(name, drawn)
    known = shown[np.isfinite(shown)]
    low, high = (float(known.min()), float(known.max())) if known.size else (0.0, 1.0)
    low, high = (low - 0.5, high + 0.5) if high - low < 1e-9 else (low, high)
    zone = bench.station.village.clock
    begins, ends = (from_epoch(float(at)).astimezone(zone) for at in (said.seconds[0], said.seconds[-1]))
    return Preview(
        rows=tuple(
            _row(bench, at, now, then) for at in range(max(said.values.size - ROWS, 0), said.values.size)
        ),
        now=_path(said.seconds, shown[0], low, high),
        then=_path(said.seconds, shown[1], low, high),
        low=_end(bench, low),
        high=_end(bench, high),
        unit=sign(shown_unit(name)),
        since=begins,
        until=ends,
        totals=_totals(bench, now, then) if bench.variable.summary == "sum" else "",
    )


def _end(bench: Bench, shown: float) -> str:
    """An end of the axis, no finer than readings are shown."""
    return f"{round(shown, bench.variable.decimals) + 0:g}".replace("-", "−")


def _values(bench: Bench, kind: str | None, parameters: dict) -> Floats:
    said = bench.lately
    try:
        return apply(bench.variable.name, kind, parameters, said.unit, said.values, said.seconds)
    except NotUnderstoodUnit:
        return np.full(said.values.size, np.nan)


def _row(bench: Bench, at: int, now: Floats, then: Floats) -> Row:
    said, variable = bench.lately, bench.variable
    says = f"{said.values[at]:.6g} {said.unit if said.unit in ('count', '1/s', 'lx') else sign(said.unit)}"
    return Row(
        from_epoch(float(said.seconds[at])).astimezone(bench.station.village.clock),
        says.replace("-", "−"),
        *(figure(variable.name, float(each[at])) if np.isfinite(each[at]) else "" for each in (now, then)),
    )


def _totals(bench: Bench, now: Floats, then: Floats) -> str:
    """Rain is told by what fell."""
    name = bench.variable.name
    told = [figure(name, float(np.nansum(each))) for each in (now, then)]
    unit = sign(shown_unit(name))
    return f"In the last day: {told[0]} {unit} as it is, {told[1]} {unit} with these figures."


def _path(seconds: Times, values: Floats, low: float, high: float) -> str:
    """A line over the day, broken where nothing is known."""
    span = max(float(seconds[-1] - seconds[0]), 1.0)
    x = (seconds - seconds[0]) / span * WIDTH
    y = FOOT - (values - low) / (high - low) * (FOOT - TOP)
    parts, pen = [], "M"
    for a, b in zip(x, y, strict=True):
        if np.isfinite(b):
            parts.append(f"{pen}{a:.1f} {b:.1f}")
        pen = "L" if np.isfinite(b) else "M"
    return "".join(parts)
