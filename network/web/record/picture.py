"""A span as a picture: for each part a stroke from its lowest to its highest temperature, and its rain beneath."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from network.pipeline.records.parts import Parts
from network.web.axes import decimals, multiples, round_step
from network.web.quantities import figure, in_shown_unit, unit_in_words, written
from network.web.series_axes import Spot

TOP, FOOT, RAIN_TOP, RAIN_FOOT, HEIGHT = 20.0, 170.0, 192.0, 246.0, 268
"""[px] Where warmth begins and ends, where rain does, and the whole picture."""

LEFT = 4.0
"""[%] Room at the left for the figures of the scale."""

LEAST_RAIN = 2.0
"""[mm] The rain's scale reaches at least so far, that a drizzle looks like one."""


@dataclass(frozen=True)
class Stroke:
    """A part's temperatures: places in per cent across and pixels down; None where not known."""

    x: float
    low: float | None
    high: float | None
    mean: float | None
    others: float | None  # where the village's mean lies
    known: bool


@dataclass(frozen=True)
class Bar:
    """A part's rain."""

    x: float
    width: float
    y: float
    height: float
    kind: str  # whole, or short when hours are missing


@dataclass(frozen=True)
class Picture:
    """Everything ``_record_picture.html`` draws."""

    unit: str
    rain_unit: str
    strokes: list[Stroke]
    bars: list[Bar]
    levels: list[Spot]
    freezing: float | None
    labels: list[Spot]  # beneath
    ends: list[Spot]  # the lowest and the highest, with their figures
    most_rain: Spot | None
    thick: float  # [px]
    others: bool
    height: int = HEIGHT
    foot: float = FOOT
    rain_foot: float = RAIN_FOOT
    rain_top: float = RAIN_TOP


def picture(
    parts: Parts, places: int, labels: list[tuple[int, str]], others: np.ndarray | None
) -> Picture | None:
    """Draw the parts in ``places`` of equal width; ``labels`` stand under the parts of their index. None of nothing."""
    mean, low, high = (in_shown_unit("air_temperature", each) for each in (parts.mean, parts.low, parts.high))
    beside = np.full(len(parts), np.nan) if others is None else in_shown_unit("air_temperature", others)
    seen = np.concatenate([mean, low, high, beside])
    seen = seen[np.isfinite(seen)]
    fell = np.isfinite(parts.rain)
    if not len(seen) and not fell.any():
        return None
    bottom, top = (float(seen.min()), float(seen.max())) if len(seen) else (0.0, 1.0)
    room = max((top - bottom) * 0.06, 0.5)
    bottom, top = bottom - room, top + room

    def y(value: float) -> float | None:
        if not np.isfinite(value):
            return None
        return round(FOOT - (value - bottom) / (top - bottom) * (FOOT - TOP), 1)

    def x(i: int) -> float:
        return _across(i + 0.5, places)

    freezing = float(in_shown_unit("air_temperature", 273.15))
    return Picture(
        unit=unit_in_words("air_temperature"),
        rain_unit=unit_in_words("rain_amount"),
        strokes=[
            Stroke(x(i), y(low[i]), y(high[i]), y(mean[i]), y(beside[i]), bool(np.isfinite([low[i], high[i], mean[i]]).any()))
            for i in range(len(parts))
        ],
        bars=list(_bars(parts, places)),
        levels=list(_levels(bottom, top, y)),
        freezing=y(freezing) if bottom < freezing < top else None,
        labels=[Spot(x(i), HEIGHT - 6, words=words) for i, words in labels],
        ends=list(_ends(parts, low, high, x, y)),
        most_rain=_most(parts, places),
        thick=round(max(2.0, min(9.0, 190 / places)), 1),
        others=bool(np.isfinite(beside).any()),
    )  # fmt: skip


def _across(part: float, places: int) -> float:
    return round(LEFT + (100 - LEFT) * part / places, 3)


def _levels(bottom: float, top: float, y: object) -> Iterator[Spot]:
    step = round_step((top - bottom) / 5)
    for value in multiples(step, bottom, top):
        yield Spot(0, y(float(value)), words=written(float(value), decimals(step)))  # type: ignore[operator]


def _scale(parts: Parts) -> float:
    known = parts.rain[np.isfinite(parts.rain)]
    return max(float(known.max()) if len(known) else 0.0, LEAST_RAIN)


def _bars(parts: Parts, places: int) -> Iterator[Bar]:
    scale, width = _scale(parts), 0.7 * (100 - LEFT) / places
    for i, fell in enumerate(parts.rain.tolist()):
        if np.isfinite(fell) and fell > 0:
            height = round(fell / scale * (RAIN_FOOT - RAIN_TOP), 1)
            left = _across(i + 0.15, places)
            kind = "short" if parts.rain_missing[i] > 0 else "whole"
            yield Bar(left, round(width, 3), round(RAIN_FOOT - height, 1), height, kind)


def _most(parts: Parts, places: int) -> Spot | None:
    known = np.where(np.isfinite(parts.rain), parts.rain, 0.0)
    if not len(known) or known.max() <= 0:
        return None
    i = int(known.argmax())
    high = RAIN_FOOT - known[i] / _scale(parts) * (RAIN_FOOT - RAIN_TOP)
    return Spot(_across(i + 0.5, places), round(high - 4, 1), words=figure("rain_amount", float(known[i])))


def _ends(parts: Parts, low: np.ndarray, high: np.ndarray, x: object, y: object) -> Iterator[Spot]:
    for values, raw, find, away in ((low, parts.low, np.nanargmin, 13), (high, parts.high, np.nanargmax, -5)):
        if np.isfinite(values).any():
            i = int(find(values))
            yield Spot(x(i), y(float(values[i])) + away, words=figure("air_temperature", float(raw[i])))  # type: ignore[operator]
