"""Lines and areas of the ground from GeoJSON: a village's outline, its streets, its water."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

Geometry = dict[str, Any]

MOST_POINTS = 40_000
DECIMALS = 6
"""Of a degree: a tenth of a metre."""

WHOLE = {"Point": (), "MultiPoint": (), "LineString": "LineString", "Polygon": "Polygon"}
PARTS = {"MultiLineString": "LineString", "MultiPolygon": "Polygon"}


class WrongOutline(ValueError):
    """The file cannot be taken; the sentence says why, and what to do."""


@dataclass(frozen=True)
class Box:
    """The edges of a map [degrees]."""

    south: float
    north: float
    west: float
    east: float

    def touches(self, points: Any) -> bool:
        """Whether the rectangle around some points of (longitude, latitude) reaches into the box."""
        (west, south), (east, north) = np.min(points, axis=0), np.max(points, axis=0)
        return bool(west <= self.east and east >= self.west and south <= self.north and north >= self.south)


def read(content: bytes, box: Box) -> list[Geometry]:
    """The lines and polygons of a GeoJSON file that reach into a map, as geometries LineString and Polygon.

    Points are passed over, and heights left off. Raises WrongOutline when it is no GeoJSON, does not lie in
    degrees, has nothing to draw in the box, or is too detailed.

    Source: RFC 7946; longitude comes first, in WGS 84.
    """
    try:
        said = json.loads(content)
    except (ValueError, RecursionError) as error:
        raise WrongOutline("The file is no GeoJSON: it cannot be read as JSON.") from error
    if not isinstance(said, dict) or "type" not in said:
        raise WrongOutline("The file is JSON but no GeoJSON: it has no 'type'.")
    _check_system(said)
    try:
        found = [_rounded(one) for one in _simple(said)]
        here = [one for one in found if box.touches(_points(one))]
    except (KeyError, TypeError, ValueError, IndexError, AttributeError, RecursionError) as error:
        raise WrongOutline("The file is GeoJSON with a mistake in it: a geometry cannot be read.") from error
    if any(np.abs(_points(one)).max() > 180 for one in found):
        raise WrongOutline(
            "Its coordinates are not degrees. Save it in WGS 84 (EPSG 4326), as GeoJSON wants it."
        )
    if not found:
        raise WrongOutline("The file has no line and no area in it, so there is nothing to draw.")
    if not here:
        raise WrongOutline(
            "Nothing in the file lies on the village's map. Are latitude and longitude swapped?"
        )
    if any(np.abs(np.diff(np.array(line)[:, 0])).max() > 180 for one in here for line in rings(one)):
        raise WrongOutline(
            "A line in the file leaps over half the Earth, as over the 180th meridian. Cut the file to the village's "
            "surroundings first."
        )
    points = sum(len(_points(one)) for one in here)
    if points > MOST_POINTS:
        raise WrongOutline(
            f"The part on the map has {points:,} points; {MOST_POINTS:,} is the most. Simplify its lines first."
        )
    return here


def rings(geometry: Geometry) -> list[Any]:
    """The lines of a geometry, each a list of (longitude, latitude): one of a line, the rings of a polygon."""
    line = geometry["type"] == "LineString"
    return [geometry["coordinates"]] if line else geometry["coordinates"]


def _check_system(said: Geometry) -> None:
    """Older GeoJSON may name another coordinate system; the file's figures are then not what they seem."""
    named = str(said.get("crs") or "CRS84")
    if not any(known in named for known in ("CRS84", "4326")):
        raise WrongOutline(
            "The file names a coordinate system of its own. Save it in WGS 84 (EPSG 4326) first."
        )


def _simple(said: Geometry) -> Iterator[Geometry]:
    """Every LineString and Polygon in it, however it is wrapped."""
    kind = said["type"]
    if kind in ("FeatureCollection", "GeometryCollection"):
        for part in said["features" if kind == "FeatureCollection" else "geometries"]:
            yield from _simple(part)
    elif kind == "Feature":
        if said["geometry"] is not None:
            yield from _simple(said["geometry"])
    elif kind in PARTS:
        for part in said["coordinates"]:
            yield {"type": PARTS[kind], "coordinates": part}
    elif WHOLE[kind]:
        yield {"type": kind, "coordinates": said["coordinates"]}


def _rounded(geometry: Geometry) -> Geometry:
    """The same without heights, to a tenth of a metre."""
    lines = [
        [[round(float(x), DECIMALS), round(float(y), DECIMALS)] for x, y, *_ in line]
        for line in rings(geometry)
    ]
    if not lines or min(map(len, lines)) < 2 or not np.isfinite(np.concatenate(lines)).all():
        raise ValueError("A line needs two points.")
    return {**geometry, "coordinates": lines[0] if geometry["type"] == "LineString" else lines}


def _points(geometry: Geometry) -> list[Any]:
    return [point for line in rings(geometry) for point in line]
