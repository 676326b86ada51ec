"""A map's files, read back by other libraries and compared with what the hub says of single places."""

import json
from collections.abc import Iterator
from io import BytesIO

import numpy as np
import pytest
import rasterio
import shapely
import xarray
from compliance_checker.runner import CheckSuite
from django.core.cache import cache
from django.db import transaction
from django.test import Client
from numpy.testing import assert_allclose
from PIL import Image
from pyproj import Geod

from network.models import VillageMap
from network.pipeline.settle import settle
from network.web.map_files import notice
from network.web.map_files.ink import PAPER, lines_of
from stations.ground import keep, propose
from stations.models import Ground, Station, Village
from tests.network.made_village import deliver, make_village, observations, one_by_one
from tests.stations.test_ground import raster
from tests.village import five_minutes

VARIABLES = ("air_temperature", "station_pressure", "rain_amount", "wind_speed", "wind_from_direction")
TIMES = five_minutes("2024-05-14T06:00:00", 3 / 24)
AT = int(TIMES[-1])
SLOPE = "height of the ground: The survey"


def steep(latitude, longitude):
    """100 m up in a hundredth of a degree north, 50 m in one east: enough for isolines of temperature."""
    return 300 + 10_000 * (latitude - 47.29) + 5_000 * (longitude - 8.89)


@pytest.fixture(scope="module")
def village(django_db_setup: None, django_db_blocker: object) -> Iterator[Village]:
    """A morning of five stations on a known slope, settled once."""
    with django_db_blocker.unblock(), transaction.atomic():
        made = make_village(5, VARIABLES)
        keep(propose(made, Ground.Kind.ELEVATION, raster(steep), "heights.tif", "The survey"))
        for station in Station.objects.of(made):
            deliver(one_by_one(station, observations(station, TIMES)))
        settle()
        yield made
        transaction.set_rollback(True)


def asked(village: Village, ending: str, variable: str = "air_temperature", **more: object) -> bytes:
    answer = Client().get(f"/{village.slug}/map.{ending}", {"variable": variable, "at": AT, **more})
    assert answer.status_code == 200
    return answer.content


def at_gate(village: Village, latitude: float, longitude: float, variable: str) -> dict:
    said = {
        "lat": f"{latitude:.9f}",
        "lon": f"{longitude:.9f}",
        "variable": variable,
        "at": "2024-05-14T09:00:00Z",
    }
    return Client().get("/api/estimate", said).json()


def opened(content: bytes) -> xarray.Dataset:
    return xarray.load_dataset(BytesIO(content), engine="scipy")


@pytest.mark.parametrize("variable", ["air_temperature", "wind_speed", "rain_amount", "sea_level_pressure"])
def test_a_checker_of_the_cf_conventions_finds_nothing(village, db, tmp_path, variable):
    file = tmp_path / "map.nc"
    file.write_bytes(asked(village, "nc", variable))
    CheckSuite.load_all_available_checkers()
    suite = CheckSuite()
    found, errors = suite.run_all(suite.load_dataset(str(file)), ["cf:1.11"])["cf:1.11"]
    assert not errors
    # Of each rule: how many of its points were met, of how many.
    assert not [(rule.name, rule.msgs) for rule in found if rule.value[0] < rule.value[1]]


def test_a_cell_of_the_netcdf_file_is_the_estimate_at_that_place(village, db):
    grid = opened(asked(village, "nc"))
    for row, column in ((5, 7), (50, 60), (93, 110)):
        place = float(grid.latitude[row]), float(grid.longitude[column])
        said = at_gate(village, *place, "air_temperature")
        assert float(grid.air_temperature[0, row, column]) - 273.15 == pytest.approx(said["value"], abs=0.051)
        error = float(grid.air_temperature_standard_error[0, row, column])
        assert error == pytest.approx(said["standard_error"], abs=0.051)


def test_the_netcdf_file_says_when_where_and_from_what(village, db):
    grid = opened(asked(village, "nc"))
    assert str(grid.time.values[0]) == "2024-05-14T09:00:00.000000000"
    assert str(grid.time_bounds.values[0, 0]) == "2024-05-14T08:50:00.000000000"
    edges = grid.latitude_bounds.values[0, 0], grid.latitude_bounds.values[-1, 1]
    assert_allclose(edges, [village.south, village.north], atol=1e-9)
    assert_allclose(grid.surface_altitude[0], steep(grid.latitude, grid.longitude), atol=1.5)
    assert "5 weather stations" in grid.source and "Not a warning service" in grid.comment
    assert SLOPE in grid.comment
    assert set(np.unique(grid.confidence)) <= {0, 1}


def test_the_rain_of_the_netcdf_file_is_that_of_the_hour(village, db):
    grid = opened(asked(village, "nc", "rain_amount"))
    assert grid.rain_amount.cell_methods == "time: sum"
    assert np.diff(grid.time_bounds.values[0])[0] == np.timedelta64(1, "h")


def test_a_geotiff_lies_where_the_village_does_with_two_bands_in_degrees_celsius(village, db):
    with rasterio.open(BytesIO(asked(village, "tif"))) as file:
        assert file.crs.to_epsg() == 4326
        assert_allclose(file.bounds, [village.west, village.south, village.east, village.north], atol=1e-9)
        assert file.descriptions == ("air_temperature", "standard_error")
        assert file.units == ("degC", "degC")
        values = file.read()
        longitude, latitude = file.xy(20, 30)
    said = at_gate(village, latitude, longitude, "air_temperature")
    assert values[:, 20, 30] == pytest.approx([said["value"], said["standard_error"]], abs=0.051)


def test_the_wind_of_a_geotiff_is_the_vector_of_the_estimate(village, db):
    with rasterio.open(BytesIO(asked(village, "tif", "wind_speed"))) as file:
        eastward, northward, _ = file.read()[:, 60, 40]
        longitude, latitude = file.xy(60, 40)
    said = at_gate(village, latitude, longitude, "wind_speed")
    assert np.hypot(eastward, northward) == pytest.approx(said["value"], abs=0.051)
    # A wind is named for where it comes from: the vector points the other way.
    assert np.degrees(np.arctan2(-eastward, -northward)) % 360 == pytest.approx(said["from_direction"], abs=2)


def test_isolines_lie_where_the_estimate_has_their_value(village, db):
    said = json.loads(asked(village, "geojson"))
    assert said["features"], "no isoline on a slope of some hundred metres"
    box = shapely.box(village.west, village.south, village.east, village.north)
    for feature in said["features"]:
        line = shapely.from_geojson(json.dumps(feature["geometry"]))
        assert line.is_valid and box.covers(line)
        spot = line.interpolate(0.5, normalized=True)
        found = at_gate(village, spot.y, spot.x, "air_temperature")["value"]
        assert found == pytest.approx(feature["properties"]["value"], abs=0.06)
        assert feature["properties"]["unit"] == "Cel"
    assert "Not a warning service" in said["caution"]


def test_the_picture_has_a_scale_bar_as_long_as_it_says(village, db, monkeypatch):
    drawn, written = [], []
    stroke, write = notice.Ink.stroke, notice.Ink.write

    def stroked(self, lines, *more, **how):
        drawn.append(lines)
        stroke(self, lines, *more, **how)

    def wrote(self, x, y, words, *more, **how):
        written.append(words)
        return write(self, x, y, words, *more, **how)

    monkeypatch.setattr(notice.Ink, "stroke", stroked)
    monkeypatch.setattr(notice.Ink, "write", wrote)
    cache.clear()
    picture = Image.open(BytesIO(asked(village, "png")))
    assert picture.size[0] == notice.WIDTH and picture.convert("RGB").getpixel((3, 3)) == PAPER
    (metres,) = [int(said.removesuffix(" m")) for said in written if said.endswith(" m")]
    bar = next(lines[0] for lines in drawn if len(lines) == 1 and len(lines[0]) == 4)
    share = (bar[2][0] - bar[1][0]) / notice.INNER
    middle = (village.south + village.north) / 2
    across = Geod(ellps="WGS84").inv(village.west, middle, village.east, middle)[2]
    assert share * across == pytest.approx(metres, rel=0.01)
    assert any("Not a warning service" in said for said in written)
    assert any("Tuesday 14 May 2024, 11:00" in said for said in written)
    assert any(said.startswith("Height of the ground: The survey") for said in written)


def test_lines_are_cut_at_the_edge_of_the_picture():
    cut = lines_of("M-5 5L5 5L15 5M2 2L3 3Z", 1, within=(0, 0, 10, 10))
    assert cut == [[(0, 5), (5, 5), (10, 5)], [(2, 2), (3, 3), (2, 2)]]


def test_what_there_is_no_map_of_is_not_found_with_a_sentence(village, db):
    for wrong in ({"variable": "battery_voltage"}, {"at": "7"}, {"at": AT + 86400}):
        answer = Client().get(f"/{village.slug}/map.nc", wrong)
        assert answer.status_code == 404


def test_without_a_time_the_newest_map_is_given_under_a_telling_name(village, db):
    answer = Client().get(f"/{village.slug}/map.tif")
    assert answer["Content-Disposition"].endswith('air-temperature-2024-05-14-1100.tif"')
    assert "max-age=60" in answer["Cache-Control"]


def test_no_file_is_of_a_time_before_it_is_over(village, db):
    # One station's clock is ahead: what it says of noon is a map before three have spoken of it.
    kept = VillageMap.objects.filter(village=village, variable="air_temperature").last()
    kept.at += 600
    kept.save(force_insert=True)
    answer = Client().get(f"/{village.slug}/map.tif")
    assert answer["Content-Disposition"].endswith('air-temperature-2024-05-14-1100.tif"')
