"""A village map as paths: tint, isolines, rain as stipple, wind as arrows. Pure: arrays in, paths out."""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from contourpy import ContourGenerator, FillType, LineType, contour_generator
from numpy.typing import NDArray

from network.quality.rolling import Floats
from network.spatial.sites import Grid
from network.web.axes import decimals, multiples, round_step
from network.web.quantities import written

WIDTH = 720
"""Units across the picture; its height follows from the village's shape."""

MOST_LINES = 7
BANDS, PALE, DEEP = 9, 0.05, 0.6
"""Bands of the tint, how strongly the first of them is inked, and how much more the last."""

FADES = (
    (0.3, 0.06), (0.4, 0.15), (0.5, 0.25), (0.6, 0.33), (0.75, 0.45), (0.85, 0.52), (1.0, 0.62), (1.25, 0.7),
    (1.5, 0.78), (2.0, 0.9),
)  # fmt: skip
"""From what error, in steps of the isolines, how much paper lies over the tint: many, so that no edge shows."""

DOTS, FULL_RAIN = 3200, 12.0
"""Dots of a stipple that is full, and the rain [mm in an hour] that fills it."""

EVENLY = (0.7548776662466927, 0.5698402909980532)
"""The additive recurrence of the plastic number: every beginning of it is evenly spread."""

ARROWS = 7  # across
ROOM = 46.0  # units around a figure on an isoline
EDGE = 26.0

Point = tuple[float, float]


@dataclass(frozen=True)
class Isoline:
    """One value's line, where it is known and where it is a guess, and its figures."""

    known: str
    guessed: str
    figure: str
    spots: list[Point]


@dataclass(frozen=True)
class Tint:
    """A path to fill, and how strongly."""

    path: str
    opacity: float


@dataclass(frozen=True)
class Arrow:
    """A wind that flies with the wind, and whether that is more than a guess."""

    path: str
    known: bool


@dataclass(frozen=True)
class Canvas:
    """Where a grid's cells lie on the picture: their middles span it, north is up."""

    grid: Grid

    @property
    def height(self) -> int:
        return round(WIDTH * self._north / self._east)

    @property
    def _east(self) -> float:
        return float(np.ptp(self.grid.eastings))

    @property
    def _north(self) -> float:
        return float(np.ptp(self.grid.northings))

    def x(self, east: Floats | float) -> Floats:
        return np.asarray((np.asarray(east) - self.grid.eastings[0]) / self._east * WIDTH)

    def y(self, north: Floats | float) -> Floats:
        return np.asarray(
            self.height - (np.asarray(north) - self.grid.northings[0]) / self._north * self.height
        )

    def contours(self, cells: Floats) -> ContourGenerator:
        return contour_generator(
            self.x(self.grid.eastings), self.y(self.grid.northings), cells.reshape(self.grid.shape),
            line_type=LineType.Separate, fill_type=FillType.OuterOffset,
        )  # fmt: skip

    def sample(self, cells: Floats, x: Floats, y: Floats) -> Floats:
        """The cells nearest to places on the picture."""
        rows, columns = self.grid.shape
        column = np.clip(np.round(x / WIDTH * (columns - 1)).astype(int), 0, columns - 1)
        row = np.clip(np.round((1 - y / self.height) * (rows - 1)).astype(int), 0, rows - 1)
        return cells.reshape(self.grid.shape)[row, column]


def isoline_step(values: Floats, error: Floats, least: float = 0.1) -> float:
    """A round distance between isolines: a few over the picture, and no finer than the map is sure of, or than ``least``."""
    return round_step(max(float(np.ptp(values)) / MOST_LINES, float(np.quantile(error, 0.25)), least))


def isolines(
    canvas: Canvas, values: Floats, error: Floats, step: float, taken: Sequence[Point]
) -> list[Isoline]:
    """The lines of a field, dashed where its standard error exceeds half their step; figures keep off ``taken``."""
    made, used = [], list(taken)
    generator = canvas.contours(values)
    for level in multiples(step, float(values.min()), float(values.max())):
        known, guessed, spots = "", "", []
        for line in generator.lines(level):
            unsure = canvas.sample(error, line[:, 0], line[:, 1]) > step / 2
            for doubt, piece in _pieces(line, unsure):
                known, guessed = (known, guessed + _open(piece)) if doubt else (known + _open(piece), guessed)
            spot = _room(canvas, line, used)
            if spot is not None:
                spots.append(spot)
                used.append(spot)
        if known or guessed:
            made.append(Isoline(known, guessed, written(float(level), decimals(step)), spots))
    return made


def tint_ends(values: Floats, step: float) -> tuple[float, float]:
    """The values at which the tint is palest and deepest: at least two steps apart, lest a trifle look like much."""
    low, high = float(values.min()), float(values.max())
    spare = max(2 * step - (high - low), 0.0) / 2
    return low - spare, high + spare


def tints(canvas: Canvas, values: Floats, step: float) -> list[Tint]:
    """Thin bands, pale to deep, between the ends of the tint."""
    edges = np.linspace(*tint_ends(values, step), BANDS + 1)
    edges[-1] += 1e-9
    generator = canvas.contours(values)
    bands = (_filled(generator.filled(begin, end)) for begin, end in itertools.pairwise(edges))
    return [Tint(path, round(PALE + DEEP * i / (BANDS - 1), 3)) for i, path in enumerate(bands) if path]


def fades(canvas: Canvas, error: Floats, step: float) -> list[Tint]:
    """Paper to lay over the tint, the more the less is known."""
    edges = [share * step for share, _ in FADES] + [np.inf]
    generator = canvas.contours(error)
    made = [
        Tint(_filled(generator.filled(begin, end)), opacity)
        for (_, opacity), begin, end in zip(FADES, edges, edges[1:], strict=False)
    ]
    return [fade for fade in made if fade.path]


def stipple(canvas: Canvas, rain: Floats) -> str:
    """Dots, denser for more rain [mm]: each place of an even sequence is inked when the rain there calls for it."""
    order = np.arange(DOTS)
    x, y = (np.mod(0.5 + order * step, 1.0) for step in EVENLY)
    x, y = x * WIDTH, y * canvas.height
    inked = order < DOTS * np.sqrt(np.clip(canvas.sample(rain, x, y) / FULL_RAIN, 0, 1))
    return "".join(f"M{a:.0f} {b:.0f}h0" for a, b in zip(x[inked], y[inked], strict=True))


def arrows(canvas: Canvas, eastward: Floats, northward: Floats, error: Floats) -> list[Arrow]:
    """An even field of arrows, longer for more wind, a guess where the error exceeds the wind."""
    down = round(ARROWS * canvas.height / WIDTH)
    across, along = ((np.arange(n) + 0.5) / n * size for n, size in ((ARROWS, WIDTH), (down, canvas.height)))
    x, y = (part.ravel() for part in np.meshgrid(across, along))
    u, v, doubt = (canvas.sample(cells, x, y) for cells in (eastward, northward, error))
    return [
        Arrow(arrow(*place), bool(np.hypot(place[2], place[3]) > unsure))
        for *place, unsure in zip(x, y, u, v, doubt, strict=True)
        if np.hypot(place[2], place[3]) >= 0.2
    ]


def arrow(x: float, y: float, eastward: float, northward: float, from_here: bool = False) -> str:
    """An arrow that flies with the wind [m/s], with its middle at a place, or a little off it from there on."""
    tail, tip = shaft(x, y, eastward, northward, from_here)
    ahead = (tip - tail) / np.hypot(*(tip - tail))
    aside = np.array([-ahead[1], ahead[0]])
    left, right = tip - 6 * ahead + 3.5 * aside, tip - 6 * ahead - 3.5 * aside
    return "M{:.1f} {:.1f}L{:.1f} {:.1f}M{:.1f} {:.1f}L{:.1f} {:.1f}L{:.1f} {:.1f}".format(
        *tail, *tip, *left, *tip, *right
    )


def shaft(
    x: float, y: float, eastward: float, northward: float, from_here: bool = False
) -> tuple[Floats, Floats]:
    """Tail and tip of such an arrow, (2,) each."""
    ahead = np.array([eastward, -northward]) / np.hypot(eastward, northward)
    length = min(12 + 5 * np.hypot(eastward, northward), 50)
    tail = np.array([x, y]) + (6 if from_here else -length / 2) * ahead
    return tail, tail + length * ahead


def _pieces(line: Floats, unsure: NDArray[np.bool_]) -> Iterator[tuple[bool, Floats]]:
    """A line cut where it changes between known and guessed; pieces share their ends."""
    cuts = [0, *(np.flatnonzero(np.diff(unsure.astype(np.int8))) + 1), len(line)]
    for begin, end in itertools.pairwise(cuts):
        yield bool(unsure[begin]), line[begin : end + 1]


def _room(canvas: Canvas, line: Floats, used: Sequence[Point]) -> Point | None:
    """The place on a line with the most room for a figure, if there is enough."""
    inside = (line > EDGE).all(axis=1) & (line[:, 0] < WIDTH - EDGE) & (line[:, 1] < canvas.height - EDGE)
    if not inside.any():
        return None
    places = line[inside]
    room = np.full(len(places), np.inf)
    for x, y in used:
        room = np.minimum(room, np.hypot(places[:, 0] - x, (places[:, 1] - y) * 1.6))
    best = int(
        np.argmax(np.minimum(room, 200) - np.abs(np.arange(len(places)) - len(places) / 2) / len(places))
    )
    return (round(float(places[best, 0])), round(float(places[best, 1]))) if room[best] > ROOM else None


def _open(line: Floats) -> str:
    return "M" + "L".join(f"{x:.0f} {y:.0f}" for x, y in line)


def _filled(polygons: tuple[list[Floats], list[NDArray[np.uint32]]]) -> str:
    points, offsets = polygons
    rings = (
        ring[begin:end]
        for ring, starts in zip(points, offsets, strict=True)
        for begin, end in itertools.pairwise(starts)
    )
    return "".join(f"{_open(ring[:-1])}Z" for ring in rings)
