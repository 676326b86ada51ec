"""One station's hours over another's, with the line of errors in both; of rain, wet days with the share caught."""

from dataclasses import dataclass

import numpy as np

from network.models.storage import Floats
from network.pipeline.records.side_by_side import SURE, Pair
from network.web.axes import decimals, multiples, round_step
from network.web.compare.figures import unit, values_in
from network.web.quantities import written
from network.web.series_axes import Spot

SIDE, LEFT, FOOT, HEAD = 400, 34, 366, 18
"""The picture's side, and where its axes lie [units]."""

MOST = 800
"""So many points are drawn; of more an even choice."""


@dataclass(frozen=True)
class Scatter:
    """Everything ``_compare_scatter.html`` draws."""

    unit: str
    points: str
    number: int  # of points there are
    drawn: int
    same: str  # where both are equal
    line: str
    band: str
    across: list[Spot]
    up: list[Spot]
    side: int = SIDE
    left: int = LEFT
    foot: int = FOOT
    head: int = HEAD


def scatter(pair: Pair, variable: str) -> Scatter | None:
    """None where there is nothing to draw, or directions that no line joins."""
    if pair.rain is not None:
        own, base = (values_in(variable, amounts) for amounts in pair.rain.days)
    elif pair.line is not None:
        own, base = (values_in(variable, values) for values in pair.values)
    else:
        return None
    both = np.isfinite(own) & np.isfinite(base)
    own, base = own[both], base[both]
    if own.size < 3:
        return None
    low, high = min(own.min(), base.min()), max(own.max(), base.max())
    low, high = (0.0, high * 1.05) if pair.rain else _with_room(float(low), float(high))
    place = _Place(low, high)
    chosen = np.linspace(0, own.size - 1, min(own.size, MOST)).astype(int)
    line, band = _fitted(pair, variable, place)
    step = round_step((high - low) / 7)
    marks = [(float(value), written(float(value), decimals(step))) for value in multiples(step, low, high)]
    return Scatter(
        unit=unit(variable),
        points="".join(f"M{x} {y}h0" for x, y in place.points(base[chosen], own[chosen])),
        number=own.size,
        drawn=len(chosen),
        same=f"M{LEFT} {FOOT}L{SIDE} {HEAD}",
        line=line,
        band=band,
        across=[Spot(float(place.x(value)), FOOT + 16, words=words) for value, words in marks],
        up=[Spot(LEFT - 5, float(place.y(value)), words=words) for value, words in marks],
    )


@dataclass(frozen=True)
class _Place:
    """From values to places: one scale both ways, so that equal is the diagonal."""

    low: float
    high: float

    def x(self, values: Floats | float) -> Floats:
        share = (np.asarray(values) - self.low) / (self.high - self.low)
        return np.round(LEFT + share * (SIDE - LEFT), 1)

    def y(self, values: Floats | float) -> Floats:
        share = (np.asarray(values) - self.low) / (self.high - self.low)
        return np.round(FOOT - share * (FOOT - HEAD), 1)

    def points(self, across: Floats, up: Floats) -> list[tuple[float, float]]:
        return list(zip(self.x(across).tolist(), self.y(up).tolist(), strict=True))


def _with_room(low: float, high: float) -> tuple[float, float]:
    half = max((high - low) * 0.53, 1e-6)
    return (low + high) / 2 - half, (low + high) / 2 + half


def _fitted(pair: Pair, variable: str, place: _Place) -> tuple[str, str]:
    """The line over the base's own values, and the band it lies in nine times in ten."""
    known = pair.rain.days[1] if pair.rain else pair.values[1][np.isfinite(pair.values).all(axis=0)]
    across = np.linspace(0.0 if pair.rain else float(known.min()), float(known.max()), 25)
    if pair.rain:
        share = pair.rain.share
        middle, below, above = (across * one for one in (share.ratio, share.low, share.high))
    else:
        assert pair.line is not None
        middle, error = pair.line.at(across)
        below, above = middle - SURE * error, middle + SURE * error
    if not np.isfinite(middle).all():
        return "", ""
    shown = values_in(variable, across)

    def drawn(values: Floats) -> list[str]:
        return [f"{x} {y}" for x, y in place.points(shown, values_in(variable, values))]

    line = "M" + "L".join(drawn(middle))
    if not np.isfinite(below).all():
        return line, ""
    return line, "M" + "L".join(drawn(above) + drawn(below)[::-1]) + "Z"
