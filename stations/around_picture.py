"""The eight directions as a picture: what stands in each, how far away and how high."""

from dataclasses import dataclass
from math import cos, log10, radians, sin

from network.science.siting import DIRECTIONS, Obstacle

SIZE = 240.0
_MIDDLE, _LEAST, _WIDE = SIZE / 2, 12.0, 90.0
_RINGS = (3, 10, 30, 100)


@dataclass(frozen=True)
class Standing:
    """One obstacle: an arc at its distance, the thicker the higher, and its figures."""

    arc: str
    thick: float
    grows: bool
    words: str
    x: float
    y: float


@dataclass(frozen=True)
class Rose:
    """The picture, in its own units; north is up, and rings stand for distances."""

    standing: tuple[Standing, ...]
    rings: tuple[tuple[int, float], ...]
    size: float = SIZE
    middle: float = _MIDDLE


def rose(obstacles: tuple[Obstacle, ...]) -> Rose:
    """The obstacles on rings of distance."""
    return Rose(
        tuple(_standing(each) for each in obstacles), tuple((ring, round(_out(ring), 1)) for ring in _RINGS)
    )


def _standing(one: Obstacle) -> Standing:
    out, towards = _out(one.distance), DIRECTIONS[one.direction]
    (x1, y1), (x2, y2) = _at(out, towards - 20), _at(out, towards + 20)
    x, y = _at(out + 15 if out < 80 else out - 17, towards)
    return Standing(
        f"M{x1:.1f},{y1:.1f} A{out:.1f},{out:.1f} 0 0 1 {x2:.1f},{y2:.1f}",
        round(min(2.0 + 0.6 * one.height, 11.0), 1),
        one.grows,
        f"{one.height:g} m",
        round(x, 1),
        round(y, 1),
    )


def _out(distance: float) -> float:
    """From the middle outwards: ten times as far is as much further again."""
    return _LEAST + (_WIDE - _LEAST) * min(max(log10(max(distance, 1.0)) / 2.0, 0.0), 1.0)


def _at(out: float, towards: float) -> tuple[float, float]:
    return _MIDDLE + out * sin(radians(towards)), _MIDDLE - out * cos(radians(towards))
