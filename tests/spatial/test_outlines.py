"""Lines and areas from GeoJSON."""

import json

import pytest

from network.spatial.outlines import Box, WrongOutline, read, rings

BOX = Box(south=47.30, north=47.32, west=8.90, east=8.93)
LINE = [[8.91, 47.31], [8.92, 47.315, 440.0]]
RING = [[8.905, 47.305], [8.915, 47.305], [8.915, 47.31], [8.905, 47.305]]


def said(*geometries, **more) -> bytes:
    features = [{"type": "Feature", "properties": None, "geometry": each} for each in geometries]
    return json.dumps({"type": "FeatureCollection", "features": features, **more}).encode()


def test_every_wrapping_of_the_standard_is_unwrapped():
    # RFC 7946, sections 3.1 to 3.3: a geometry may stand alone, in a Feature, or in collections.
    line = {"type": "LineString", "coordinates": LINE}
    many = {"type": "MultiPolygon", "coordinates": [[RING], [RING]]}
    wrapped = said(line, {"type": "GeometryCollection", "geometries": [many]}, None)
    assert [one["type"] for one in read(wrapped, BOX)] == ["LineString", "Polygon", "Polygon"]
    assert read(json.dumps(line).encode(), BOX)[0]["coordinates"] == [[8.91, 47.31], [8.92, 47.315]]


def test_a_polygon_keeps_its_holes():
    hole = [[8.91, 47.306], [8.912, 47.306], [8.912, 47.307], [8.91, 47.306]]
    (one,) = read(said({"type": "Polygon", "coordinates": [RING, hole]}), BOX)
    assert len(rings(one)) == 2


def test_what_lies_beyond_the_map_is_left_out():
    away = {"type": "LineString", "coordinates": [[9.5, 47.31], [9.6, 47.31]]}
    assert len(read(said({"type": "LineString", "coordinates": LINE}, away), BOX)) == 1


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"\xff\xfe\x00", "cannot be read as JSON"),
        (b"[1, 2]", "no GeoJSON"),
        (b'{"type": "Topology"}', "a mistake in it"),
        (said({"type": "LineString", "coordinates": [[8.91, "x"], [8.92, 47.3]]}), "a mistake in it"),
        (said({"type": "LineString", "coordinates": [[8.91, 47.31]]}), "a mistake in it"),
        (said({"type": "Point", "coordinates": [8.91, 47.31]}), "no line and no area"),
        (
            said({"type": "LineString", "coordinates": [[2712000, 1240000], [2712900, 1241000]]}),
            "not degrees",
        ),
        (said({"type": "LineString", "coordinates": [[47.31, 8.91], [47.315, 8.92]]}), "swapped"),
        (
            said({"type": "LineString", "coordinates": LINE}, crs={"properties": {"name": "EPSG:2056"}}),
            "a coordinate system of its own",
        ),
        (said({"type": "LineString", "coordinates": LINE * 20_001}), "40,000 is the most"),
        (b"[" * 100_000, "cannot be read as JSON"),
        # RFC 7946, section 3.1.9: a line over the antimeridian is to be cut there, else it runs round the Earth.
        (said({"type": "LineString", "coordinates": [[179.0, 47.31], [-179.0, 47.31]]}), "leaps over half"),
    ],
)
def test_a_bad_file_is_refused_in_a_plain_sentence(content, says):
    with pytest.raises(WrongOutline, match=says):
        read(content, BOX)
