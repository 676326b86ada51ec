"""The picture of a skyline: the horizon as one dark shape, and the sun's paths over it."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from numpy.typing import NDArray

from network.science.skyline import BIN
from network.science.sun import solar_position

Horizon = NDArray[np.float64]
"""[deg] By bins of azimuth from north by east, shape (72,); NaN where nothing is known."""

ACROSS, UP = 270.0, 90.0
"""[deg] What is drawn: from north-east by south to north-west, up to the zenith."""

SCALE = 2.0
"""Units of the picture for a degree, the same both ways, so that a roof looks as steep as it is."""

DAYS = {
    gettext_noop("midsummer"): "2026-06-21",
    gettext_noop("equinox"): "2026-03-20",
    gettext_noop("midwinter"): "2026-12-21",
}
"""Of the northern half of the earth; the day's words change places on the southern."""

STEP = 600
"""[s] Between two points of a path."""


@dataclass(frozen=True)
class Path:
    """The sun's way over one day, with its name above the highest point."""

    words: str
    line: str
    x: float
    y: float


@dataclass(frozen=True)
class Picture:
    """What is drawn, in units of the picture; its foot is the level horizon."""

    shapes: tuple[str, ...]
    paths: tuple[Path, ...]
    heights: tuple[tuple[str, float], ...]  # a word and its place
    compass: tuple[str, ...]
    top: float  # above the highest path and its name, for nothing the sun has met reaches higher
    wide: float = ACROSS * SCALE
    foot: float = UP * SCALE

    @property
    def tall(self) -> float:
        return self.foot - self.top + 2


def picture(horizon: Horizon, latitude: float, longitude: float) -> Picture:
    """The skyline of a place [deg]; where the sun passes in the north, south of the equator, north is midmost."""
    northern = latitude >= 0
    first = 45.0 if northern else 225.0
    paths = _paths(round(latitude, 1), round(longitude, 1), first)
    return Picture(
        shapes=tuple(_shapes(horizon, first)),
        paths=paths,
        heights=tuple((f"{high}°", _down(high)) for high in (30, 60)),
        compass=tuple(
            _(side) for side in (("east", "south", "west") if northern else ("west", "north", "east"))
        ),
        top=min(path.y for path in paths) - 22,
    )


def _shapes(horizon: Horizon, first: float) -> Iterable[str]:
    """What stands up to the horizon, a shape for each unbroken part that is known."""
    bins = np.arange(round(ACROSS / BIN))
    seen = horizon[(bins + round(first / BIN)) % horizon.size]
    for part in _unbroken(np.isfinite(seen)):
        left, right = BIN * part[0], BIN * (part[-1] + 1)
        steps = " ".join(
            f"L{_x(BIN * i):.1f},{_down(seen[i]):.1f} {_x(BIN * (i + 1)):.1f},{_down(seen[i]):.1f}"
            for i in part
        )
        yield f"M{_x(left):.1f},{_down(0):.1f} {steps} L{_x(right):.1f},{_down(0):.1f}Z"


@lru_cache(maxsize=32)
def _paths(latitude: float, longitude: float, first: float) -> tuple[Path, ...]:
    """Where the sun goes on the longest, the middling and the shortest day."""
    words = list(DAYS) if latitude >= 0 else list(DAYS)[::-1]
    return tuple(
        _path(word, day, latitude, longitude, first) for word, day in zip(words, DAYS.values(), strict=True)
    )


def _path(words: str, day: str, latitude: float, longitude: float, first: float) -> Path:
    # From one midnight of the sun to the next.
    midnight = np.datetime64(day, "s").astype(np.int64) - round(longitude * 240)
    elevation, azimuth = solar_position(midnight + np.arange(0, 86401, STEP), latitude, longitude)
    across = (azimuth - first) % 360.0
    parts = _unbroken((elevation > 0) & (across < ACROSS))
    line = " ".join(
        "M" + " ".join(f"{_x(across[i]):.1f},{_down(elevation[i]):.1f}" for i in part) for part in parts
    )
    noon = int(np.argmax(elevation))
    return Path(words, line, round(_x(across[noon]), 1), round(_down(elevation[noon]), 1))


def _unbroken(there: NDArray[np.bool_]) -> list[NDArray[np.intp]]:
    """The places where it holds, in runs."""
    places = np.flatnonzero(there)
    return [run for run in np.split(places, np.flatnonzero(np.diff(places) > 1) + 1) if run.size]


def _x(across: float) -> float:
    return float(across) * SCALE


def _down(elevation: float) -> float:
    return (UP - float(elevation)) * SCALE
