"""Several stations' series in one picture, or directions in one for each, and the difference of two beneath it: per cent across, pixels down."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from django.utils.translation import gettext as _

from network.models.storage import Floats
from network.pipeline.ledger import blocks
from network.pipeline.records.side_by_side import Pair, SideBySide
from network.science.variables import VARIABLES
from network.web.compare.figures import apart_in, less, unit_words, values_in
from network.web.quantities import words_of
from network.web.series_axes import ACROSS, BOTTOM, HEIGHT, TOP, Scale, Spot, dotted, levels, midnights, times
from network.web.series_picture import Path

LONG = 62
"""[days] Beyond this a day is drawn as one point."""

LABEL_HEIGHT = 15.0
"""[px] Labels at the end of the lines are kept this far apart."""


@dataclass(frozen=True)
class Picture:
    """Everything ``_compare_lines.html`` draws."""

    title: str
    unit: str
    words: str  # what is seen, for whoever cannot
    paths: list[Path]
    spans: list[Spot]  # telling nights: x and, in y, how wide [%]
    levels: list[Spot]
    nought: float | None  # [px] where no difference lies
    times: list[Spot]
    midnights: str  # a path
    labels: list[Spot]
    height: int = HEIGHT
    bottom: float = BOTTOM
    top: float = TOP
    across: int = int(ACROSS)


def together(compared: SideBySide) -> list[Picture]:
    """The stations' values, or of amounts what has fallen since the span began; directions each by itself."""
    variable = compared.variable
    kind = VARIABLES[variable].summary
    values = values_in(variable, compared.values)
    if kind == "sum":
        values = _running(values)
    seconds, values = _thinned(compared, values)
    if kind == "direction":
        return [_direction(compared, i, seconds, own) for i, own in enumerate(values)]
    low, high = _range(values, 10.0 ** -VARIABLES[variable].decimals * 20)
    scale = Scale(compared.begins_at, compared.ends_at, max(low, 0.0) if kind == "sum" else low, high)
    paths = [Path(f"line who{i}", _line(scale, seconds, own)) for i, own in enumerate(values)]
    names = [station.name for station in compared.stations]
    made = replace(
        _axes(compared, scale, False),
        title=_title(variable, kind),
        words=_("{what} at {names}").format(what=words_of(variable), names=", ".join(names)),
        paths=[path for path in paths if path.d],
        labels=list(_labels(scale, seconds, values, names)),
    )
    return [made]


def _direction(compared: SideBySide, i: int, seconds: np.ndarray, own: Floats) -> Picture:
    """Alone: points have no dashes by which several could be told apart."""
    scale = Scale(compared.begins_at, compared.ends_at, 0.0, 360.0)
    said = {"what": words_of(compared.variable), "names": compared.stations[i].name}
    words, dots = _("{what} at {names}").format(**said), _points(scale, seconds, own)
    paths = [Path("line dots", dots)] if dots else []
    return replace(_axes(compared, scale, True), title=words, words=words, paths=paths)


def apart(compared: SideBySide, pair: Pair) -> Picture:
    """The difference, filled from nought; of amounts the difference of what has fallen since the span began."""
    variable = compared.variable
    kind = VARIABLES[variable].summary
    difference = apart_in(variable, pair.difference)[None]
    if kind == "sum":
        difference = _running(difference)
    seconds, (values,) = _thinned(compared, difference)
    low, high = _range(np.append(values, 0.0), 10.0 ** -VARIABLES[variable].decimals * 6)
    scale = Scale(compared.begins_at, compared.ends_at, low, high)
    words = less(pair.station, pair.base)
    paths = [
        Path("above", _area(scale, seconds, np.maximum(values, 0.0))),
        Path("below", _area(scale, seconds, np.minimum(values, 0.0))),
        Path("edge", _line(scale, seconds, values)),
    ]
    return replace(
        _axes(compared, scale, False),
        title=_("{what}, running totals").format(what=words) if kind == "sum" else words,
        words=words,
        paths=[path for path in paths if path.d],
        spans=list(_nights(compared, scale)) if pair.nights else [],
        nought=round(float(scale.y(0.0)), 1),
    )


def _axes(compared: SideBySide, scale: Scale, turning: bool) -> Picture:
    zone = compared.stations[0].village.clock
    return Picture(
        title="",
        unit=unit_words(compared.variable),
        words="",
        paths=[],
        spans=[],
        levels=list(levels(scale, turning)),
        nought=None,
        times=list(times(scale, zone)),
        midnights=midnights(scale, zone),
        labels=[],
    )


def _title(variable: str, kind: str) -> str:
    words = words_of(variable)
    if kind != "sum":
        return words
    return _("{what}, running totals over the hours that all of them have").format(what=words)


def _running(values: Floats) -> Floats:
    """Totals so far, over the hours that all have, shape as given."""
    all_there = np.isfinite(values).all(axis=0)
    total = np.cumsum(np.where(all_there, values, 0.0), axis=1)
    return np.where(all_there, total, np.nan)


def _thinned(compared: SideBySide, values: Floats) -> tuple[np.ndarray, Floats]:
    """Middles of the hours with their values (stations, t), or days with their means when there are many."""
    middles = compared.setting.begins_at + blocks.HOUR // 2
    if len(middles) <= LONG * 24 or VARIABLES[compared.variable].summary == "direction":
        return middles, values
    whole = len(middles) // 24 * 24
    days = values[:, :whole].reshape(len(values), -1, 24)
    count = np.isfinite(days).sum(axis=2)
    mean = np.nansum(days, axis=2) / np.maximum(count, 1)
    return middles[:whole].reshape(-1, 24)[:, 11], np.where(count >= 16, mean, np.nan)


def _range(values: Floats, least: float) -> tuple[float, float]:
    known = values[np.isfinite(values)]
    if not known.size:
        return 0.0, 1.0
    low, high = float(known.min()), float(known.max())
    middle, half = (low + high) / 2, max((high - low) * 0.54, least / 2)
    return middle - half, middle + half


def _runs(values: Floats) -> Iterator[np.ndarray]:
    """Places of unbroken values."""
    places = np.flatnonzero(np.isfinite(values))
    if places.size:
        yield from np.split(places, np.flatnonzero(np.diff(places) > 1) + 1)


def _line(scale: Scale, seconds: np.ndarray, values: Floats) -> str:
    return "".join("M" + scale.points(seconds[run], values[run]) for run in _runs(values) if len(run) > 1)


def _points(scale: Scale, seconds: np.ndarray, values: Floats) -> str:
    """A direction is not joined: from 350° to 10° is a small turn, and no line says so."""
    known = np.isfinite(values)
    return dotted(scale.points(seconds[known], values[known]))


def _area(scale: Scale, seconds: np.ndarray, values: Floats) -> str:
    nought = f"{float(scale.y(0.0)):.4g}"
    parts = []
    for run in _runs(values):
        if values[run].any():
            first, last = (f"{ACROSS * float(scale.x(seconds[end])):.4g}" for end in (run[0], run[-1]))
            line = scale.points(seconds[run], values[run])
            parts.append(f"M{first} {nought}L{line}L{last} {nought}Z")
    return "".join(parts)


def _labels(scale: Scale, seconds: np.ndarray, values: Floats, names: list[str]) -> Iterator[Spot]:
    """Each line's name at its end, moved apart where two would meet."""
    ends = []
    for i, own in enumerate(values):
        known = np.flatnonzero(np.isfinite(own))
        if known.size:
            ends.append((float(scale.y(own[known[-1]])), i))
    ends.sort()
    rows = np.arange(len(ends)) * LABEL_HEIGHT
    down = np.maximum.accumulate(np.array([y for y, _ in ends]) - rows)  # each beneath the one before
    for y, (_end, i) in zip(np.minimum(down, BOTTOM - rows.max(initial=0.0)) + rows, ends, strict=True):
        yield Spot(100, round(float(y), 1), kind=f"who{i}", words=names[i])


def _nights(compared: SideBySide, scale: Scale) -> Iterator[Spot]:
    """The clear calm nights, from the first of their hours to the last."""
    group, hours = compared.nights.group, compared.setting.begins_at
    for night in np.flatnonzero(compared.nights.meant):
        own = hours[group == night]
        first, last = scale.percent(int(own[0])), scale.percent(int(own[-1]) + blocks.HOUR)
        yield Spot(first, round(last - first, 2))
