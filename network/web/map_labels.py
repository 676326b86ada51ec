"""On which side of its mark a station's words stand on a map, so that they cover neither arrow, mark nor words.

``static/network/map/labels.js`` does the same where the browser draws.
"""

from collections.abc import Sequence
from dataclasses import dataclass

Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""

SIDES = ("", "left", "over", "under")
"""The best first; '' is the right."""

LETTER, DIGIT = 6.4, 9.5
"""Widths of a letter of a name and of a digit of a figure [units of the picture]."""


@dataclass(frozen=True)
class Labelled:
    """A mark, its words, and the ends of its arrow, if it has one."""

    x: float
    y: float
    name: str
    figure: str
    shaft: tuple[tuple[float, float], ...] = ()


def sides(marks: Sequence[Labelled], width: float, height: float) -> list[str]:
    """A side for each in turn: the first that covers least, and nothing beyond the edge while there is another."""
    taken = [box for mark in marks for box in _drawn(mark)]
    chosen = []
    for mark in marks:
        boxes = {side: _words(mark, side) for side in SIDES}
        best = min(SIDES, key=lambda side: _cost(boxes[side], taken, width, height))
        taken.append(boxes[best])
        chosen.append(best)
    return chosen


def _words(mark: Labelled, side: str) -> Box:
    """The room that its figure and, beneath, its name take on a side."""
    x, y, wide = mark.x, mark.y, max(LETTER * len(mark.name), DIGIT * len(mark.figure))
    left = {"": x + 10, "left": x - 10 - wide}.get(side, x - wide / 2)
    top = {"over": y - 38, "under": y + 9}.get(side, y - 14)
    return left, top, left + wide, top + 29


def _drawn(mark: Labelled) -> list[Box]:
    """The dot, and the arrow in pieces."""
    spots = [(mark.x, mark.y)]
    if mark.shaft:
        (ax, ay), (bx, by) = mark.shaft
        spots += [(ax + share * (bx - ax), ay + share * (by - ay)) for share in (0.25, 0.5, 0.75, 1.0)]
    return [(x - 5, y - 5, x + 5, y + 5) for x, y in spots]


def _cost(box: Box, taken: Sequence[Box], width: float, height: float) -> int:
    covered = sum(
        box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3] for other in taken
    )
    inside = box[0] >= 0 and box[1] >= 0 and box[2] <= width and box[3] <= height
    return covered + (0 if inside else 100)
