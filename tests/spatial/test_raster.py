"""Rasters of others on a village's plane."""

import numpy as np
import pytest
import rasterio
from numpy.testing import assert_allclose
from pyproj import Transformer
from rasterio.io import MemoryFile
from rasterio.transform import from_origin

from network.spatial import raster
from network.spatial.distance import from_local_plane, local_plane
from network.spatial.raster import WrongRaster, read
from network.spatial.sites import Grid

ORIGIN = (47.312, 8.914)
GRID = Grid(-1200.0, -1000.0, 1200.0, 1000.0, rows=50, columns=60)


def slope(east, north):
    """A plane whose height [m] anybody can work out: 5 m up in 100 m east, 2 m down in 100 m north."""
    return 500 + 0.05 * np.asarray(east) - 0.02 * np.asarray(north)


def geotiff(
    epsg: int | None, cell: float, margin: float = 300.0, *, nodata=None, hole=None, bands=1
) -> bytes:
    """The slope as a GeoTIFF in some coordinate system, placed by pyproj's own reading of EPSG."""
    there = Transformer.from_crs(4326, epsg or 2056, always_xy=True)
    back = Transformer.from_crs(epsg or 2056, 4326, always_xy=True)
    corners = from_local_plane([-1200 - margin, 1200 + margin], [-1000 - margin, 1000 + margin], ORIGIN)
    (west, east), (south, north) = there.transform(corners[1], corners[0])
    columns, rows = int((east - west) / cell) + 1, int((north - south) / cell) + 1
    x, y = np.meshgrid(west + (np.arange(columns) + 0.5) * cell, north - (np.arange(rows) + 0.5) * cell)
    longitude, latitude = back.transform(x, y)
    ground = slope(*local_plane(latitude, longitude, ORIGIN)).astype("float32")
    if hole is not None:
        ground[hole] = nodata
    told = {"driver": "GTiff", "dtype": "float32", "count": bands, "nodata": nodata, "compress": "lzw"}
    if epsg:
        told["crs"] = f"EPSG:{epsg}"
    with MemoryFile() as memory:
        with memory.open(
            **told, width=columns, height=rows, transform=from_origin(west, north, cell, cell)
        ) as f:
            for band in range(bands):
                f.write(ground, band + 1)
        return memory.read()


@pytest.mark.parametrize(
    ("epsg", "cell"), [(4326, 0.0001), (4326, 0.0008), (2056, 5.0), (32632, 25.0), (3857, 10.0)]
)
def test_a_plane_stays_a_plane_whatever_the_coordinate_system_and_the_cells(epsg, cell):
    east, north = np.meshgrid(GRID.eastings, GRID.northings)
    # A mean over the cells under one is off by up to a quarter cell of the slope.
    assert_allclose(read(geotiff(epsg, cell), GRID, ORIGIN).cells, slope(east, north), atol=0.35)


def test_the_plane_is_the_orthographic_projection_of_proj():
    # EPSG Guidance Note 7-2, method 9840; PROJ knows it of the ellipsoid since 7.2.
    proj = Transformer.from_crs("EPSG:4326", raster.plane_of(ORIGIN).to_wkt(), always_xy=True)
    assert_allclose(proj.transform(8.93, 47.325), local_plane(47.325, 8.93, ORIGIN), atol=1e-4)


def test_an_ascii_grid_lies_where_its_header_and_the_told_system_say():
    # The format's own header words; the middle of its south-west cell is half a cell from the corner.
    rows = "\n".join(" ".join(str(100 * r + c) for c in range(40)) for r in range(30))
    text = (
        f"ncols 40\nnrows 30\nxllcorner 8.89\nyllcorner 47.29\ncellsize 0.0015\nNODATA_value -9999\n{rows}\n"
    )
    cells = read(text.encode(), GRID, ORIGIN, epsg=4326).cells
    latitude, longitude = from_local_plane(GRID.eastings[30], GRID.northings[25], ORIGIN)
    column, row = (longitude - 8.89) / 0.0015 - 0.5, (47.29 + 30 * 0.0015 - latitude) / 0.0015 - 0.5
    assert_allclose(cells[25, 30], 100 * row + column, atol=0.5)


def ascii_grid(rows: int, columns: int, *, told_rows: int, told_columns: int) -> bytes:
    head = f"ncols {told_columns}\nnrows {told_rows}\nxllcorner 8.89\nyllcorner 47.29\ncellsize 0.0015\n"
    return (head + (" ".join(["500.0"] * columns) + "\n") * rows).encode()


@pytest.mark.parametrize(("told_rows", "told_columns"), [(300, 40), (30, 17), (29, 40)])
def test_an_ascii_grid_whose_head_is_of_another_file_is_refused_at_once(told_rows, told_columns):
    # GDAL 3 looks for missing rows without end, and wraps surplus figures into other rows.
    content = ascii_grid(30, 40, told_rows=told_rows, told_columns=told_columns)
    with pytest.raises(
        WrongRaster, match=f"promises {told_rows} rows of {told_columns} figures.* it has 1200"
    ):
        read(content, GRID, ORIGIN, epsg=4326)


def test_a_word_among_the_figures_of_an_ascii_grid_is_no_height_of_nought():
    content = ascii_grid(30, 40, told_rows=30, told_columns=40).replace(b" 500.0", b" n/a", 1)
    with pytest.raises(WrongRaster, match="stands 'n/a'"):
        read(content, GRID, ORIGIN, epsg=4326)


def test_a_system_of_heights_is_no_system_of_places():
    # EPSG 5773 is a vertical system, EGM96 height.
    with pytest.raises(WrongRaster, match="EPSG 5773 is no system of places"):
        read(geotiff(None, 25.0), GRID, ORIGIN, epsg=5773)


def test_a_raster_without_a_figure_on_the_map_is_not_said_to_lie_elsewhere():
    with pytest.raises(WrongRaster, match="no figures on the village's map"):
        read(geotiff(2056, 25.0, nodata=-9999.0, hole=np.s_[:, :]), GRID, ORIGIN)


def test_a_small_hole_is_filled_from_beside_it_and_told():
    found = read(geotiff(2056, 25.0, nodata=-9999.0, hole=np.s_[50:54, 50:54]), GRID, ORIGIN)
    assert 0 < found.filled < 0.02
    assert 420 < found.cells.min() < found.cells.max() < 580


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "empty"),
        (b"not a raster at all", "cannot be read as a GeoTIFF"),
        (geotiff(2056, 25.0)[:3000], "cannot be read as a GeoTIFF"),
        (geotiff(None, 25.0), "does not say in which coordinate system"),
        (geotiff(2056, 25.0, margin=-400.0), "covers .*of the village's map"),
        (geotiff(2056, 25.0, bands=3), "a picture of a map"),
        (geotiff(2056, 25.0, nodata=-9999.0, hole=np.s_[:, 60:]), "covers .*of the village's map"),
    ],
)
def test_a_bad_file_is_refused_in_a_plain_sentence(content, says):
    with pytest.raises(WrongRaster, match=says):
        read(content, GRID, ORIGIN)


def test_a_raster_of_another_place_says_where_it_lies():
    with pytest.raises(WrongRaster, match=r"lies elsewhere: from 47\.3.* north and from 8\.[89].* east"):
        read(geotiff(2056, 25.0), GRID, (46.0, 7.0))


def test_a_number_that_is_no_coordinate_system_is_said_to_be_none():
    with pytest.raises(WrongRaster, match="no coordinate system number 99"):
        read(geotiff(None, 25.0), GRID, ORIGIN, epsg=99)


def test_heights_kept_as_scaled_whole_numbers_come_out_in_metres():
    with MemoryFile(geotiff(2056, 25.0)) as memory, memory.open() as file:
        told = file.profile | {"dtype": "int16", "nodata": -32768}
        tenths = np.round((file.read(1) - 500) * 10).astype("int16")
    with MemoryFile() as memory:
        with rasterio.open(memory.name, "w", **told) as file:
            file.write(tenths, 1)
            file.scales, file.offsets = [0.1], [500.0]
        content = memory.read()
    east, north = np.meshgrid(GRID.eastings, GRID.northings)
    assert_allclose(read(content, GRID, ORIGIN).cells, slope(east, north), atol=0.35)
