"""Rasters of others brought onto a village's plane: the height of the ground, and what else lies on it."""

import re
from dataclasses import dataclass

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.crs import CRS
from rasterio.errors import CRSError, RasterioError
from rasterio.io import DatasetReader, MemoryFile
from rasterio.transform import from_bounds
from rasterio.vrt import WarpedVRT
from rasterio.warp import Resampling, transform_bounds
from scipy.ndimage import distance_transform_edt

from network.spatial.distance import Origin
from network.spatial.sites import Grid

READ = ["GTiff", "AAIGrid"]
"""The formats that are opened, by their names in GDAL: none that could point to other files or addresses."""

HEAD = re.compile(rb"(\s*[A-Za-z]\w*[ \t]+\S+[ \t]*(?:\r?\n|\r))*")
"""The lines of an ESRI ASCII grid that begin with a name."""

WORD = re.compile(rb"(?!nan\b)[^\s\d+\-.,eE]\S{,19}", re.IGNORECASE)
"""What is no figure."""

MOST_CELLS = 400_000_000
ENOUGH = 0.98
"""Share of the map that must be covered; what is missing of the rest is taken from the nearest cell."""

Floats = NDArray[np.float64]


class WrongRaster(ValueError):
    """The file cannot be taken; the sentence says why, and what to do."""


@dataclass(frozen=True, eq=False)
class Raster:
    """A raster resampled to the cells of a grid."""

    cells: Floats  # (rows, columns), south in row 0
    filled: float  # share of the cells that were missing
    finer: float  # how many of the file's cells go into one, along a side


def plane_of(origin: Origin) -> CRS:
    """The local plane as a coordinate system: the orthographic projection of the ellipsoid.

    Source: EPSG Guidance Note 7-2, method 9840, which is ``distance.local_plane`` (from memory).
    """
    return CRS.from_proj4(
        f"+proj=ortho +lat_0={origin[0]!r} +lon_0={origin[1]!r} +datum=WGS84 +units=m +no_defs"
    )


def read(content: bytes, grid: Grid, origin: Origin, epsg: int | None = None) -> Raster:
    """A GeoTIFF or ESRI ASCII grid on the cells of a grid: means of finer cells, between coarser ones.

    Parameters
    ----------
    content : bytes of the file
    grid : Grid, on the local plane about ``origin``
    origin : (latitude, longitude)
    epsg : number of the coordinate system, for a file that does not name its own

    Raises WrongRaster when it cannot be read, has no place on Earth, or does not cover the grid.
    """
    if not content:
        raise WrongRaster("The file is empty.")
    try:
        with (
            rasterio.Env(GDAL_DISABLE_READDIR_ON_OPEN="EMPTY_DIR"),
            MemoryFile(content) as memory,
            memory.open(driver=READ) as source,
        ):
            _check(source)
            if source.driver == "AAIGrid":
                _check_figures(source, content)
            return _resampled(source, _system(source, epsg), grid, origin)
    except RasterioError as error:
        raise WrongRaster(
            "The file cannot be read as a GeoTIFF or an ESRI ASCII grid. Was it cut short, or packed (.zip)?"
        ) from error


def _check(source: DatasetReader) -> None:
    if source.count != 1:
        raise WrongRaster(
            f"The file has {source.count} bands: it is a picture of a map. One band of figures is wanted."
        )
    if np.dtype(source.dtypes[0]).kind not in "iuf":
        raise WrongRaster(
            "The file's figures are of two parts (complex). One band of plain figures is wanted."
        )
    if source.width * source.height > MOST_CELLS:
        raise WrongRaster(
            f"The file has {source.width} by {source.height} cells. Cut it to the village's surroundings first."
        )
    if source.transform.is_identity:
        raise WrongRaster(
            "The file does not say where on Earth it lies. Give one with its place (georeferenced)."
        )


def _check_figures(source: DatasetReader, content: bytes) -> None:
    """A text holds as many figures as its head says, and no words: GDAL would look for missing ones for ever."""
    head = HEAD.match(content)
    begins = 0 if head is None else head.end()
    if word := WORD.search(content, begins):
        said = word.group().decode("ascii", "replace")
        raise WrongRaster(f"Among the file's figures stands '{said}'. Write them as plain numbers.")
    text = np.frombuffer(content, dtype=np.uint8, offset=begins)
    blank = np.concatenate([[True], text <= ord(" ")])
    figures = int(np.count_nonzero(blank[:-1] & ~blank[1:]))
    if figures != source.width * source.height:
        raise WrongRaster(
            f"The file's head promises {source.height} rows of {source.width} figures, which are "
            f"{source.width * source.height}; it has {figures}. Was it cut short, or is its head of another file?"
        )


def _system(source: DatasetReader, epsg: int | None) -> CRS:
    """The file's own coordinate system, or else the one that was told."""
    if source.crs:
        return source.crs
    if epsg is None:
        raise WrongRaster(
            "The file does not say in which coordinate system it lies. Its publisher does: write the EPSG number "
            "beside it, such as 4326 for degrees or 2056 for Swiss metres."
        )
    try:
        told = CRS.from_epsg(epsg)
    except CRSError as error:
        raise WrongRaster(
            f"EPSG has no coordinate system number {epsg}. Look at the publisher's page again."
        ) from error
    if not (told.is_geographic or told.is_projected):
        raise WrongRaster(
            f"EPSG {epsg} is no system of places on a map, perhaps one of heights. Look at the publisher's page again."
        )
    return told


def _resampled(source: DatasetReader, system: CRS, grid: Grid, origin: Origin) -> Raster:
    plane = plane_of(origin)
    box = (grid.west, grid.south, grid.east, grid.north)
    try:
        west, south, east, north = transform_bounds(plane, system, *box)
    except CRSError as error:
        raise WrongRaster(
            "The file's coordinate system is not one of the Earth's. Give it another first."
        ) from error
    finer = float(np.hypot((east - west) / grid.columns, (north - south) / grid.rows) / np.hypot(*source.res))
    with WarpedVRT(
        source,
        src_crs=system,
        crs=plane,
        transform=from_bounds(*box, grid.columns, grid.rows),
        width=grid.columns,
        height=grid.rows,
        nodata=np.nan,
        dtype="float64",
        resampling=Resampling.average if finer > 1.5 else Resampling.bilinear,
    ) as view:
        cells = view.read(1)[::-1] * source.scales[0] + source.offsets[0]
    known = np.isfinite(cells)
    if known.mean() < ENOUGH:
        raise WrongRaster(_elsewhere(source, system, float(known.mean()), origin))
    nearest = distance_transform_edt(~known, return_distances=False, return_indices=True)
    return Raster(np.ascontiguousarray(cells[tuple(nearest)]), 1 - float(known.mean()), finer)


def _elsewhere(source: DatasetReader, system: CRS, known: float, origin: Origin) -> str:
    if known > 0:
        return f"The file covers {known:.0%} of the village's map. All of it is needed: take a larger piece."
    west, south, east, north = transform_bounds(system, "EPSG:4326", *source.bounds)
    latitude, longitude = origin
    if south <= latitude <= north and west <= longitude <= east:
        return "The file has no figures on the village's map, though it lies there. Is it the right piece?"
    return (
        f"The file lies elsewhere: from {south:.3f} to {north:.3f} north and from {west:.3f} to {east:.3f} east. "
        "Is it the right piece, in the right coordinate system?"
    )
