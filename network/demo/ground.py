"""The invented village's ground as files such as a steward would give: heights, water, lanes and outline."""

import json
from collections.abc import Iterator, Sequence

import numpy as np
from rasterio.io import MemoryFile
from rasterio.transform import from_bounds
from scipy.interpolate import CubicSpline

from network.demo import terrain
from stations.ground import keep, propose
from stations.models import Ground, Village

CREDIT = "invented for this demonstration"
CELL = 0.00006
"""[deg] About six metres."""

BEYOND = 0.001
"""[deg] The raster reaches so far beyond the village's map."""

Line = Sequence[tuple[float, float]]

STREETS: tuple[Line, ...] = (
    ((-1300, -590), (-900, -630), (-560, -650), (-350, -490), (-190, -395), (40, -335), (300, -420), (620, -475),
     (790, -500), (1300, -440)),
    ((40, -335), (-15, -235), (80, -90), (190, -5), (265, 130), (305, 265), (400, 400), (410, 540), (470, 635)),
    ((-15, -235), (-250, -195), (-600, -130), (-800, 90), (-905, 350), (-985, 640), (-1120, 1050)),
    ((305, 265), (560, 345), (840, 395), (1300, 370)),
    ((-560, -650), (-605, -790), (-730, -1050)),
    ((300, -420), (345, -570), (430, -770), (500, -1050)),
)  # fmt: skip
"""Lanes from house to house: metres east and north of the middle."""

OUTLINE: Line = (
    (-700, -210), (-430, -450), (-160, -510), (170, -450), (310, -240), (330, 40), (460, 230), (340, 370),
    (170, 280), (30, 110), (-250, 30), (-560, 20), (-740, -70), (-700, -210),
)  # fmt: skip

POND: Line = ((-700, -728), (-650, -708), (-600, -722), (-610, -745), (-660, -750), (-700, -728))


def lay(village: Village) -> None:
    """Give the village its ground by the steward's own way in."""
    for kind, name, content in _files(village):
        keep(propose(village, kind, content, name, CREDIT))


def _files(village: Village) -> Iterator[tuple[str, str, bytes]]:
    kind = Ground.Kind
    yield kind.ELEVATION, "heights.tif", _heights(village)
    yield kind.OUTLINE, "outline.geojson", _geojson([("Polygon", _curve(OUTLINE, closed=True))])
    yield kind.STREETS, "lanes.geojson", _geojson([("LineString", _curve(line)) for line in STREETS])
    east = np.arange(-1300.0, 1301.0, 20.0)
    brook = np.column_stack([east, terrain.brook(east)])
    yield (
        kind.WATER,
        "water.geojson",
        _geojson([("LineString", brook), ("Polygon", _curve(POND, closed=True))]),
    )


def _heights(village: Village) -> bytes:
    """A GeoTIFF of the relief in degrees, a little larger than the village's map."""
    west, south = village.west - BEYOND, village.south - BEYOND
    columns = int((village.east + BEYOND - west) / CELL)
    rows = int((village.north + BEYOND - south) / CELL)
    north, east = south + rows * CELL, west + columns * CELL
    longitude = west + (np.arange(columns) + 0.5) * CELL
    latitude = north - (np.arange(rows) + 0.5) * CELL
    ground = terrain.elevation(latitude[:, None], longitude).astype(np.float32)
    told = {"driver": "GTiff", "dtype": "float32", "count": 1, "crs": "EPSG:4326", "compress": "deflate"}
    place = from_bounds(west, south, east, north, columns, rows)
    with MemoryFile() as memory:
        with memory.open(**told, width=columns, height=rows, transform=place) as file:
            file.write(ground, 1)
        return bytes(memory.read())


def _curve(line: Line, closed: bool = False) -> terrain.Array:
    """A smooth line through some places, a point every fifteen metres or so."""
    corners = np.array(line, dtype=np.float64)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    spline = CubicSpline(along, corners, bc_type="periodic" if closed else "natural")
    curve = spline(np.linspace(0.0, along[-1], max(int(along[-1] / 15), len(line))))
    if closed:
        curve[-1] = curve[0]
    return np.asarray(curve)


def _geojson(shapes: Sequence[tuple[str, terrain.Array]]) -> bytes:
    features = []
    for kind, places in shapes:
        latitude, longitude = terrain.degrees(*places.T)
        points = np.column_stack([longitude, latitude]).round(6).tolist()
        geometry = {"type": kind, "coordinates": [points] if kind == "Polygon" else points}
        features.append({"type": "Feature", "properties": {}, "geometry": geometry})
    return json.dumps({"type": "FeatureCollection", "features": features}).encode()
