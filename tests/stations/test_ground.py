"""A village's ground from files: proposed, kept, taken back."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose
from rasterio.io import MemoryFile
from rasterio.transform import from_origin

from network.pipeline.maps.ground import on_its_ground
from network.pipeline.maps.map import village_grid
from network.spatial.distance import from_local_plane
from stations.forms.place import PlaceForm
from stations.ground import WrongFile, keep, propose, proposed_elevation
from stations.models import Ground

Kind = Ground.Kind


def heights(latitude, longitude):
    """A slope anybody can work out: 20 m up in a hundredth of a degree north, 10 m in one east."""
    return 400 + 2000 * (np.asarray(latitude) - 47.29) + 1000 * (np.asarray(longitude) - 8.89)


def raster(of=heights) -> bytes:
    """That slope as a GeoTIFF in degrees, larger than the test village's map."""
    longitude, latitude = 8.89 + (np.arange(250) + 0.5) * 0.0002, 47.33 - (np.arange(200) + 0.5) * 0.0002
    told = {
        "driver": "GTiff",
        "dtype": "float32",
        "count": 1,
        "crs": "EPSG:4326",
        "width": 250,
        "height": 200,
    }
    with MemoryFile() as memory:
        with memory.open(**told, transform=from_origin(8.89, 47.33, 0.0002, 0.0002)) as file:
            file.write(of(latitude[:, None], longitude).astype("float32"), 1)
        return memory.read()


def lane() -> bytes:
    return json.dumps({"type": "LineString", "coordinates": [[8.91, 47.31], [8.92, 47.315]]}).encode()


def given(village, kind=Kind.ELEVATION, content=None, **more) -> Ground:
    return propose(village, kind, content or raster(), "heights.tif", "The survey", **more)


def test_a_terrain_counts_only_once_it_is_kept(homes):
    layer = given(homes.village)
    assert proposed_elevation(homes.village, 47.31, 8.91) is None
    keep(layer)
    assert proposed_elevation(homes.village, 47.31, 8.91) == pytest.approx(
        float(heights(47.31, 8.91)), abs=0.15
    )


def test_the_maps_cells_stand_on_the_terrain(homes):
    keep(given(homes.village))
    grid = village_grid(homes.village, 30)
    cells = on_its_ground(homes.village, grid)
    latitude, longitude = from_local_plane(cells.east, cells.north, homes.village.centre)
    assert_allclose(cells.elevation, heights(latitude, longitude), atol=0.3)


def test_without_a_terrain_and_with_heights_given_places_stay_as_they_came(homes):
    grid = village_grid(homes.village, 30)
    assert on_its_ground(homes.village, grid) is grid
    keep(given(homes.village))
    told = grid.sites(123.0)
    assert on_its_ground(homes.village, told) is told


def test_a_terrain_stays_where_it_is_when_the_maps_edges_move(homes):
    keep(given(homes.village))
    homes.village.north, homes.village.west = 47.318, 8.904
    homes.village.save()
    assert proposed_elevation(homes.village, 47.31, 8.91) == pytest.approx(
        float(heights(47.31, 8.91)), abs=0.15
    )


def test_keeping_a_layer_puts_it_in_the_place_of_the_one_before(homes):
    keep(given(homes.village))
    keep(given(homes.village, content=raster(lambda *place: heights(*place) + 50)))
    assert Ground.objects.kept().count() == 1
    assert proposed_elevation(homes.village, 47.31, 8.91) == pytest.approx(500.0, abs=15)


def test_a_second_file_of_a_kind_is_looked_at_instead_of_the_first(homes):
    given(homes.village)
    given(homes.village)
    assert Ground.objects.proposed().count() == 1


def test_what_is_told_of_a_terrain_compares_it_with_the_stations(homes):
    # The station says 440 m, the slope 460 m at 47.31, 8.91.
    assert "20 m above what their keepers say" in given(homes.village).remark
    in_feet = given(homes.village, content=raster(lambda *place: heights(*place) / 0.3048))
    assert "in feet" in in_feet.remark


@pytest.mark.parametrize(
    ("kind", "content", "says"),
    [
        (Kind.ELEVATION, b"nothing of the kind", "cannot be read as a GeoTIFF"),
        (Kind.ELEVATION, raster(lambda *place: heights(*place) - 99_999), "lies between -450 and 9000 m"),
        (Kind.TREE_COVER, raster(), "lies between 0 and 100 %"),
        (Kind.STREETS, raster(), "no GeoJSON"),
        (Kind.ELEVATION, lane(), "cannot be read as a GeoTIFF"),
        (Kind.WATER, b" " * (9 * 2**20), "8 MB is the most"),
    ],
)
def test_a_bad_file_is_refused_and_leaves_nothing_behind(homes, kind, content, says):
    with pytest.raises(WrongFile, match=says):
        given(homes.village, kind, content)
    assert not Ground.objects.exists()


def test_a_station_placed_without_a_height_takes_it_from_the_terrain(homes):
    said = {
        "latitude": "47.31",
        "longitude": "8.91",
        "elevation": "",
        "since": "2026-03-02T10:00",
        "shown": "exact",
    }
    assert "elevation" in PlaceForm(said, station=homes.station).errors
    keep(given(homes.village))
    form = PlaceForm(said, station=homes.station)
    assert form.is_valid(), form.errors
    assert form.cleaned_data["elevation"] == pytest.approx(460.0, abs=0.15)
    told = PlaceForm(said | {"elevation": "455"}, station=homes.station)
    assert told.is_valid() and told.cleaned_data["elevation"] == 455
