"""The village's map box as a plain picture to pick a place on: a ruled sheet with north at the top.

Where the steward gave the ground, its height lines, lanes and water help to find one's own garden.
"""

from dataclasses import dataclass
from math import cos, radians

import numpy as np
from contourpy import LineType, contour_generator

from network.spatial.outlines import rings
from stations.models import Ground, Placement, Station, Village
from stations.models.placement import ROUNDED_TO

WIDTH = 400.0
HEIGHT_LINES = 8
_METRES_A_DEGREE = 111_200.0


@dataclass(frozen=True)
class Mark:
    """A station on the sheet."""

    x: float
    y: float
    name: str


@dataclass(frozen=True)
class Sheet:
    """What the picture shows, in its own units: x to the right, y downwards."""

    village: Village
    width: float
    height: float
    upright: list[float]  # x of the ruled lines
    level: list[float]  # y of the ruled lines
    kilometre: float
    others: list[Mark]
    own: Mark | None
    seen: Mark | None  # the middle of the square that others see where a place is rounded
    square: tuple[float, float]  # its sides
    ground: dict[str, str]  # paths by kind of layer
    credit: str = ""
    rounded: float = ROUNDED_TO

    @property
    def half(self) -> tuple[float, float]:
        return self.square[0] / 2, self.square[1] / 2


def sheet(station: Station, latitude: float | None, longitude: float | None) -> Sheet:
    """The sheet for a station that stands, or may stand, at a place; the others as their households show them."""
    village = station.village
    degrees = village.east - village.west
    a_metre = WIDTH / (degrees * _METRES_A_DEGREE * cos(radians(village.centre[0])))
    height = (village.north - village.south) * _METRES_A_DEGREE * a_metre
    every = ROUNDED_TO * 2
    own = seen = None
    if latitude is not None and longitude is not None:
        own = Mark(*_at(village, height, latitude, longitude), station.name)
        if station.shown == Station.Shown.ROUNDED:
            there = Placement(station=station, latitude=latitude, longitude=longitude).rounded_place
            seen = Mark(*_at(village, height, *there), station.name)
    layers = _layers(village)
    return Sheet(
        village,
        WIDTH,
        round(height, 1),
        [_at(village, height, 0, west)[0] for west in _ruled(village.west, village.east, every)],
        [_at(village, height, south, 0)[1] for south in _ruled(village.south, village.north, every)],
        round(1000 * a_metre, 1),
        _others(station, height),
        own,
        seen,
        (
            round(ROUNDED_TO / (village.east - village.west) * WIDTH, 1),
            round(ROUNDED_TO / (village.north - village.south) * height, 1),
        ),
        {layer.kind: _lines(layer, village, height) for layer in layers},
        ". ".join(dict.fromkeys(layer.credit.rstrip(".") for layer in layers)),
    )


def _layers(village: Village) -> list[Ground]:
    shown = (*Ground.DRAWN, Ground.Kind.ELEVATION)
    return list(Ground.objects.kept().filter(village=village, kind__in=shown))


def _lines(layer: Ground, village: Village, height: float) -> str:
    """A layer as one path: its shapes, or the height lines of a terrain."""
    if layer.kind == Ground.Kind.ELEVATION:
        parts = _height_lines(layer)
    else:
        parts = [np.array(line) for shape in layer.shapes for line in rings(shape)]
    path = []
    for longitude, latitude in (part.T for part in parts):
        x = (longitude - village.west) / (village.east - village.west) * WIDTH
        y = (village.north - latitude) / (village.north - village.south) * height
        path.append("M" + " ".join(f"{a:.1f},{b:.1f}" for a, b in zip(x, y, strict=True)))
    return " ".join(path)


def _height_lines(terrain: Ground) -> list[np.ndarray]:
    """Some eight lines of equal height, as longitude and latitude."""
    cells = terrain.cells
    rows, columns = cells.shape
    latitude = terrain.south + (np.arange(rows) + 0.5) / rows * (terrain.north - terrain.south)
    longitude = terrain.west + (np.arange(columns) + 0.5) / columns * (terrain.east - terrain.west)
    generator = contour_generator(longitude, latitude, cells, line_type=LineType.Separate)
    levels = np.linspace(cells.min(), cells.max(), HEIGHT_LINES + 2)[1:-1]
    return [line for level in levels for line in generator.lines(level) if len(line) > 12]


def _others(station: Station, height: float) -> list[Mark]:
    village = station.village
    standing = Placement.objects.current().filter(station__in=Station.objects.of(village).public())
    marks = []
    for placement in standing.exclude(station=station).select_related("station"):
        if placement.public_place:
            x, y = _at(village, height, *placement.public_place)
            marks.append(Mark(x, y, placement.station.name))
    return marks


def _at(village: Village, height: float, latitude: float, longitude: float) -> tuple[float, float]:
    x = (longitude - village.west) / (village.east - village.west) * WIDTH
    y = (village.north - latitude) / (village.north - village.south) * height
    return round(x, 1), round(y, 1)


def _ruled(first: float, last: float, every: float) -> list[float]:
    begins, ends = int(first // every) + 1, int(last // every)
    return [number * every for number in range(begins, ends + 1)]
