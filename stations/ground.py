"""A village's ground from its steward's files: read and looked at first, then kept, or taken back."""

from pathlib import PurePath
from typing import Any

import numpy as np
from django.db import transaction
from django.utils import timezone

from network.spatial import outlines, raster
from network.spatial.distance import local_plane
from network.spatial.sites import Grid
from stations.models import Placement, Station, Village
from stations.models.ground import ROWS, Floats, Ground

LARGEST = 64 * 1024 * 1024  # [bytes] of a raster
LARGEST_OUTLINE = 8 * 1024 * 1024  # [bytes] of a GeoJSON

UNLIKE = 20.0
"""[m] Beyond which a terrain and the keepers mean different heights."""

BOUNDS = {
    Ground.Kind.ELEVATION: (-450.0, 9000.0, "m above the sea"),
    Ground.Kind.WATER_DISTANCE: (0.0, 100_000.0, "m"),
    Ground.Kind.TREE_COVER: (0.0, 100.0, "%"),
}
"""Least and greatest value a raster may hold, and their unit."""


class WrongFile(ValueError):
    """The file cannot be taken; the sentence says why, and what to do."""


def propose(
    village: Village,
    kind: str,
    content: bytes,
    name: str,
    credit: str,
    by: Any = None,
    epsg: int | None = None,
) -> Ground:
    """Read a file as one layer of the ground, to be looked at; it takes the place of one that waits.

    ``epsg`` is the number of the coordinate system, for rasters that do not name their own. Raises WrongFile.
    """
    layer = Ground(
        village=village, kind=kind, credit=credit.strip(), file_name=PurePath(name).name[-120:], given_by=by,
        south=village.south, north=village.north, west=village.west, east=village.east,
    )  # fmt: skip
    try:
        if kind in Ground.RASTERS:
            _raster(layer, content, epsg)
        else:
            _outline(layer, content)
    except (raster.WrongRaster, outlines.WrongOutline) as wrong:
        raise WrongFile(str(wrong)) from wrong
    with transaction.atomic():
        Ground.objects.proposed().filter(village=village, kind=kind).delete()
        layer.save()
    return layer


def keep(layer: Ground) -> None:
    """Put a proposed layer to use, instead of the one of its kind that was."""
    with transaction.atomic():
        Ground.objects.kept().filter(village=layer.village, kind=layer.kind).delete()
        layer.kept_at = timezone.now()
        layer.save(update_fields=["kept_at"])


def proposed_elevation(village: Village, latitude: float, longitude: float) -> float | None:
    """Height of the ground [m] at a place by the village's terrain, to the tenth; None where it has none."""
    terrain = Ground.objects.elevation(village)
    if terrain is None:
        return None
    terrain.village = village
    return round(float(terrain.at(*local_plane(latitude, longitude, village.centre))), 1)


def _raster(layer: Ground, content: bytes, epsg: int | None) -> None:
    _check_size(content, LARGEST)
    village = layer.village
    grid = Grid.over(village.south, village.north, village.west, village.east, ROWS)
    read = raster.read(content, grid, village.centre, epsg)
    low, high, unit = BOUNDS[Ground.Kind(layer.kind)]
    least, most = float(read.cells.min()), float(read.cells.max())
    if least < low or most > high:
        raise WrongFile(
            f"Its figures run from {least:g} to {most:g}; a {layer.get_kind_display()} lies between {low:g} and "
            f"{high:g} {unit}. Is a figure that stands for ‘unknown’ not marked as such in the file?"
        )
    layer.cells = read.cells
    told = [f"From {least:.0f} to {most:.0f} {unit}."]
    if read.finer < 0.5:
        told.append(f"The file is coarse: one of its cells is {1 / read.finer:.0f} of the map's.")
    if read.filled:
        told.append(f"{read.filled:.1%} of the map was missing and is filled from beside it.")
    if layer.kind == Ground.Kind.ELEVATION:
        told += _beside_stations(layer)
    layer.remark = " ".join(told)


def _outline(layer: Ground, content: bytes) -> None:
    _check_size(content, LARGEST_OUTLINE)
    village = layer.village
    box = outlines.Box(village.south, village.north, village.west, village.east)
    layer.shapes = outlines.read(content, box)
    areas = sum(one["type"] == "Polygon" for one in layer.shapes)
    lines = len(layer.shapes) - areas
    said = [_count(number, word) for number, word in ((lines, "line"), (areas, "area")) if number]
    layer.remark = f"{' and '.join(said)} on the map."


def _check_size(content: bytes, largest: int) -> None:
    if len(content) > largest:
        raise WrongFile(
            f"The file has {len(content) / 2**20:.0f} MB; {largest / 2**20:.0f} MB is the most. "
            "Cut it to the village's surroundings first."
        )


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _beside_stations(layer: Ground) -> list[str]:
    """How the heights compare with what the keepers say of their own ground: feet and other zeros show here."""
    standing = list(
        Placement.objects.current()
        .filter(station__in=Station.objects.of(layer.village))
        .values_list("station__name", "latitude", "longitude", "elevation")
    )
    if not standing:
        return []
    names, *figures = zip(*standing, strict=True)
    latitude, longitude, told = (np.array(part) for part in figures)
    above: Floats = layer.at(*local_plane(latitude, longitude, layer.village.centre)) - told
    middle, worst = float(np.median(above)), int(np.argmax(np.abs(above)))
    said = f"At the stations it lies {_beside(middle)} what their keepers say, by the median"
    if abs(middle) > UNLIKE:
        said += ": are its heights in feet, or above another zero than the sea"
        return [f"{said}?"]
    return [f"{said}; at {names[worst]}, the furthest off, {_beside(above[worst])}."]


def _beside(metres: float) -> str:
    if abs(metres) < 0.5:
        return "level with"
    return f"{abs(metres):.0f} m {'below' if metres < 0 else 'above'}"
