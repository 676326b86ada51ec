"""What lies under a village's map: shaded relief, height lines, outline, streets and water, as paths."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from contourpy import LineType, contour_generator
from django.core.cache import caches
from scipy.ndimage import gaussian_filter

from network.quality.rolling import Floats
from network.spatial.distance import local_plane
from network.spatial.outlines import rings
from network.spatial.sites import Grid
from network.web.axes import multiples, round_step
from network.web.village_map_picture import Canvas
from stations.models import Ground, Village

MOST_CONTOURS, LEAST_STEP = 10, 2.0  # [m]
HEAVY = 5
"""Every so many height lines, one is drawn stronger."""

SHORTEST = 40.0
"""Units of a height line: shorter ones are specks."""

HOUR = 3600


@dataclass(frozen=True)
class Frame:
    """Where a picture of shade lies on the map."""

    layer: int
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class GroundPicture:
    """Everything network/_ground.svg may show, in the units of its canvas; empty where nothing is known."""

    shade: Frame | None = None
    light: str = ""  # height lines
    heavy: str = ""
    step: str = ""  # between them
    surveyed: bool = False  # the height lines are those of a terrain, not drawn through the stations
    outline: str = ""
    streets: str = ""
    streams: str = ""
    ponds: str = ""
    credit: str = ""


def ground_picture(village: Village, canvas: Canvas, guessed: Floats | None = None) -> GroundPicture:
    """The ground of a village on a canvas; ``guessed`` are the heights of its cells [m] where it has no terrain."""
    kept = tuple(Ground.objects.kept().filter(village=village).values_list("pk", flat=True))
    told = None if guessed is None else guessed.tobytes()
    key = f"ground:{hash((village.pk, canvas.grid, kept, told))}"
    near = caches["near"]
    drawn = near.get(key)
    if drawn is None:
        layers = Ground.objects.kept().filter(village=village)
        drawn = draw(village, layers, canvas, guessed)
        near.set(key, drawn, HOUR)
    return drawn


def draw(
    village: Village, layers: Iterable[Ground], canvas: Canvas, guessed: Floats | None = None
) -> GroundPicture:
    """Some layers, one of a kind, as they would lie under the map."""
    of = {layer.kind: layer for layer in layers}
    kind = Ground.Kind
    terrain = of.get(kind.ELEVATION)
    parts: dict[str, object] = {}
    if terrain is not None:
        parts |= {"shade": frame(canvas, village, terrain), "surveyed": True}
        parts |= _contours(canvas, moved(terrain, village), gaussian_filter(terrain.cells, 1.0))
    elif guessed is not None:
        parts |= _contours(canvas, canvas.grid, guessed.reshape(canvas.grid.shape))
    water = of[kind.WATER].shapes if kind.WATER in of else []
    lines, areas = _sorted(water)
    return GroundPicture(
        outline=_path(canvas, village, of[kind.OUTLINE].shapes) if kind.OUTLINE in of else "",
        streets=_path(canvas, village, of[kind.STREETS].shapes) if kind.STREETS in of else "",
        streams=_path(canvas, village, lines),
        ponds=_path(canvas, village, areas),
        credit=credit(layer for layer in of.values() if layer.kind in (*Ground.DRAWN, kind.ELEVATION)),
        **parts,  # type: ignore[arg-type]
    )


def credit(layers: Iterable[Ground]) -> str:
    """Whose work the layers are, each source named once: 'height of the ground and water: the survey'."""
    by_source: dict[str, list[str]] = {}
    for layer in layers:
        by_source.setdefault(layer.credit.rstrip("."), []).append(layer.get_kind_display())
    return "; ".join(f"{_and(kinds)}: {source}" for source, kinds in by_source.items())


def frame(canvas: Canvas, village: Village, layer: Ground) -> Frame:
    """Where a raster's outer edges lie on the canvas."""
    grid = moved(layer, village)
    x, y = canvas.x(np.array([grid.west, grid.east])), canvas.y(np.array([grid.north, grid.south]))
    left, top, width, height = (round(float(part), 1) for part in (x[0], y[0], np.ptp(x), np.ptp(y)))
    return Frame(layer.pk, left, top, width, height)


def moved(layer: Ground, village: Village) -> Grid:
    """A raster's cells on the village's own plane, should the map's edges have moved since it was read."""
    east, north = (float(part) for part in local_plane(*layer.origin, village.centre))
    grid = layer.grid
    return Grid(
        grid.west + east, grid.south + north, grid.east + east, grid.north + north, grid.rows, grid.columns
    )


def _contours(canvas: Canvas, grid: Grid, ground: Floats) -> dict[str, object]:
    """Height lines, every fifth one stronger."""
    low, high = float(ground.min()), float(ground.max())
    step = round_step(max((high - low) / MOST_CONTOURS, LEAST_STEP))
    generator = contour_generator(
        canvas.x(grid.eastings), canvas.y(grid.northings), ground, line_type=LineType.Separate
    )
    light, heavy = [], []
    for level in multiples(step, low, high):
        long = [
            line for line in generator.lines(level) if np.hypot(*np.diff(line, axis=0).T).sum() > SHORTEST
        ]
        (heavy if round(level / step) % HEAVY == 0 else light).extend(long)
    return {"light": _lines(light), "heavy": _lines(heavy), "step": f"{step:g} m"}


def _path(canvas: Canvas, village: Village, shapes: Sequence[dict[str, object]]) -> str:
    drawn = []
    for shape in shapes:
        for line in rings(shape):
            longitude, latitude = np.array(line).T
            east, north = local_plane(latitude, longitude, village.centre)
            drawn.append(np.column_stack([canvas.x(east), canvas.y(north)]))
    return _lines(drawn)


def _sorted(shapes: Sequence[dict[str, object]]) -> tuple[list[dict[str, object]], list[dict[str, object]]]:
    """Lines, and areas."""
    lines = [shape for shape in shapes if shape["type"] == "LineString"]
    return lines, [shape for shape in shapes if shape["type"] == "Polygon"]


def _lines(lines: Iterable[Floats]) -> str:
    """Lines as one path, without the points that a step of a third of a unit cannot tell apart."""
    return "".join("M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in _thinned(line)) for line in lines)


def _thinned(line: Floats) -> Floats:
    """Every point that lies a unit or more along from the last, and both ends."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    kept = np.unique(np.floor(along / 4).astype(int), return_index=True)[1]
    return line[np.union1d(kept, [0, len(line) - 1])]


def _and(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]
