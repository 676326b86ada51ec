"""A series as a picture drawn by the server: every place in per cent across and pixels down, so it fits any width."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from network.quality.verdict import DOUBTFUL, GOOD, UNCHECKED, WRONG
from network.science.variables import VARIABLES
from network.web.quantities import decimals_of, unit_in_words, written
from network.web.series import Series
from network.web.series_axes import ACROSS, BOTTOM, HEIGHT, TOP, Scale, Spot, TimeAxis, dotted, levels

DOT, BAR = 1.4, 0.7
"""[%] Marks nearer to each other than this, across, are drawn as one."""


@dataclass(frozen=True)
class Path:
    """A line or a band."""

    kind: str  # classes
    d: str


@dataclass(frozen=True)
class Picture:
    """Everything ``_series.html`` draws."""

    unit: str
    paths: list[Path]
    dots: list[Spot]
    edge: list[Path]  # bars at the axis: not joined and off the scale, or no good mean
    levels: list[Spot]  # horizontal rules and their figures
    axis: TimeAxis
    latest: Spot | None  # the direct label of the last value
    height: int = HEIGHT
    bottom: float = BOTTOM
    top: float = TOP
    across: int = int(ACROSS)


def picture(series: Series, axis: TimeAxis) -> Picture:
    """Draw one series over the axis of its span."""
    variable = VARIABLES[series.variable]
    rain = variable.summary == "sum"
    turning = variable.summary == "direction"
    low, high = (0.0, 360.0) if turning else _range(series, from_zero=rain or variable.limits.low == 0.0)
    scale = Scale(series.begins_at, series.ends_at, low, high)
    draw = _bars if rain else _dots if turning else _lines
    return Picture(
        unit=unit_in_words(series.variable),
        paths=list(draw(series, scale)),
        dots=list(_marks(series, scale)),
        edge=list(_edge(series, scale)),
        levels=list(levels(scale, turning)),
        axis=axis,
        latest=None if rain or turning else _latest(series, scale),
    )


def _range(series: Series, from_zero: bool) -> tuple[float, float]:
    """What the axis must hold: all that is not wrong and the neighbours, or the wrong ones if there is nothing else."""
    believed = series.verdict != WRONG
    seen = [series.low[believed], series.high[believed], series.values[believed]]
    seen += [line.values for line in series.neighbours]
    every = np.concatenate(seen) if seen else np.empty(0)
    every = every[np.isfinite(every)]
    if not len(every):
        every = series.values[np.isfinite(series.values)]
    if not len(every):
        return 0.0, 1.0
    low, high = float(every.min()), float(every.max())
    least = 10.0 ** -decimals_of(series.variable) * 20
    middle, half = (low + high) / 2, max((high - low) * 0.54, least / 2)
    low, high = middle - half, middle + half
    return (0.0, max(high, least / 2)) if from_zero and low < 0.35 * high else (low, high)


def _runs(series: Series, which: np.ndarray, reach: float) -> Iterator[slice]:
    """Unbroken runs of the chosen points; a gap longer than ``reach`` breaks one [s]."""
    places = np.flatnonzero(which)
    if len(places):
        breaks = np.flatnonzero((np.diff(places) > 1) | (np.diff(series.seconds[places]) > reach))
        for part in np.split(places, breaks + 1):
            yield slice(int(part[0]), int(part[-1]) + 1)


def _lines(series: Series, scale: Scale) -> Iterator[Path]:
    for line in series.neighbours:
        step = 2.5 * max(series.every, 900)
        edges = [0, *(np.flatnonzero(np.diff(line.seconds) > step) + 1).tolist(), len(line.seconds)]
        joined = "".join(
            "M" + scale.points(line.seconds[first:last], line.values[first:last])
            for first, last in pairwise(edges)
            if last - first > 1
        )
        if joined:
            yield Path("line pale", joined)
    reach = 2.5 * series.every
    known = np.isfinite(series.values)
    if series.grain != "readings":
        for run in _runs(series, np.isfinite(series.low) & np.isfinite(series.high), reach):
            upper = scale.points(series.seconds[run], series.high[run])
            lower = scale.points(series.seconds[run][::-1], series.low[run][::-1])
            yield Path("band", f"M{upper}L{lower}Z")
    for verdict, kind in ((GOOD, "line"), (DOUBTFUL, "line doubtful"), (UNCHECKED, "line unchecked")):
        runs = list(_runs(series, known & (series.verdict == verdict), reach))
        joined = "".join("M" + scale.points(series.seconds[r], series.values[r]) for r in runs)
        if joined:
            yield Path(kind, joined)
    yield from _gaps(series, scale, reach)


def _gaps(series: Series, scale: Scale, reach: float) -> Iterator[Path]:
    """A dashed baseline where there was no report."""
    edges = np.concatenate([[series.begins_at], series.seconds, [min(series.ends_at, series.seconds[-1])]]
                           if len(series) else [[series.begins_at, series.ends_at]])  # fmt: skip
    long = np.flatnonzero(np.diff(edges) > reach)
    base = f"{BOTTOM - 3:.4g}"
    joined = "".join(
        f"M{ACROSS * scale.x(edges[i]):.4g} {base}H{ACROSS * scale.x(edges[i + 1]):.4g}" for i in long
    )
    if joined:
        yield Path("gap", joined)


def _bars(series: Series, scale: Scale) -> Iterator[Path]:
    for line in series.neighbours:
        steps = "".join(
            f"M{ACROSS * scale.x(at - series.every / 2):.4g} {scale.y(value):.4g}H{ACROSS * scale.x(at + series.every / 2):.4g}"
            for at, value in zip(line.seconds, line.values, strict=True)
            if value > 0
        )
        if steps:
            yield Path("line pale", steps)
    known = np.isfinite(series.values) & (series.values > 0)
    width = ACROSS * series.every / (series.ends_at - series.begins_at)
    joined = "".join(
        f"M{ACROSS * scale.x(at) - 0.4 * width:.4g} {BOTTOM:g}V{scale.y(value):.4g}h{0.8 * width:.4g}V{BOTTOM:g}Z"
        for at, value in zip(series.seconds[known], series.values[known], strict=True)
    )
    if joined:
        yield Path("bars", joined)
    yield from _gaps(series, scale, 2.5 * series.every)


def _dots(series: Series, scale: Scale) -> Iterator[Path]:
    """A direction is not joined: from 350° to 10° is a small turn, and no line says so."""
    good = (series.verdict == GOOD) & np.isfinite(series.values)
    if good.any():
        yield Path("dots", dotted(scale.points(series.seconds[good], series.values[good])))
    yield from _gaps(series, scale, 2.5 * series.every)


def _marks(series: Series, scale: Scale) -> Iterator[Spot]:
    kinds = {DOUBTFUL: "doubtful", WRONG: "wrong", UNCHECKED: "unchecked"}
    inside = (series.values >= scale.low) & (series.values <= scale.high)
    for verdict, kind in kinds.items():
        chosen = np.flatnonzero((series.verdict == verdict) & inside)
        for i in _apart(series, scale, chosen, DOT):
            yield Spot(scale.percent(series.seconds[i]), round(float(scale.y(series.values[i])), 1), kind)


def _edge(series: Series, scale: Scale) -> Iterator[Path]:
    """Bars at the edge: above or below the axis, or at its foot where a period has too few good readings."""
    above, inside = series.values > scale.high, (series.values >= scale.low) & (series.values <= scale.high)
    for y, where in ((TOP, above), (BOTTOM, ~above & ~inside)):
        bars = list(_apart(series, scale, np.flatnonzero(where), BAR))
        wrong = series.verdict[bars] == WRONG
        for kind, held in (("wrong", wrong), ("doubtful", ~wrong)):
            across = ACROSS * scale.x(series.seconds[bars][held])
            if len(across):
                drawn = "".join(f"M{x:.4g} {y - 4:g}v8" for x in across.tolist())
                yield Path(f"dot bar {kind}", drawn)


def _apart(series: Series, scale: Scale, chosen: np.ndarray, least: float) -> Iterator[int]:
    """Those of the chosen points that lie at least so far apart [%]."""
    last = -np.inf
    across = np.round(100 * scale.x(series.seconds[chosen]), 2)
    for i, x in zip(chosen.tolist(), across.tolist(), strict=True):
        if x - last >= least:
            yield i
            last = x


def _latest(series: Series, scale: Scale) -> Spot | None:
    known = np.flatnonzero(np.isfinite(series.values) & (series.verdict != WRONG))
    if not len(known) or series.seconds[-1] - series.seconds[known[-1]] > 3 * series.every:
        return None
    i = known[-1]
    y = round(float(scale.y(series.values[i])), 1)
    words = written(float(series.values[i]), decimals_of(series.variable))
    x = scale.percent(series.seconds[i])
    return Spot(
        min(x + 0.6, 99.5), y - 6 if x > 92 else y + 4, words=words, anchor="end" if x > 92 else "start"
    )
