"""The demonstration's ground, given by the steward's own way in."""

import numpy as np
import pytest

from network.demo import terrain
from network.demo.ground import lay
from network.spatial.distance import local_plane
from network.spatial.outlines import rings
from stations.ground import proposed_elevation
from stations.models import Ground
from tests.network.made_village import found_village

pytestmark = pytest.mark.django_db


def test_the_village_gets_heights_outline_lanes_and_water_that_are_said_to_be_invented():
    lay(found_village())
    kinds = set(Ground.objects.kept().values_list("kind", flat=True))
    assert kinds == {"elevation", "outline", "streets", "water"}
    assert all("invented" in credit for credit in Ground.objects.values_list("credit", flat=True))


def test_its_heights_are_those_of_the_relief_the_weather_blows_over():
    village = found_village()
    lay(village)
    for east, north in ((-560, -701), (0, -250), (480, 620), (-880, 380)):
        latitude, longitude = (float(part) for part in terrain.degrees(east, north))
        truth = float(terrain.elevation(latitude, longitude))
        assert proposed_elevation(village, latitude, longitude) == pytest.approx(truth, abs=0.3)


def test_the_brook_runs_lower_than_its_banks():
    village = found_village()
    lay(village)
    layer = Ground.objects.get(kind="water")
    heights = Ground.objects.elevation(village)
    (brook,) = [one for one in layer.shapes if one["type"] == "LineString"]
    longitude, latitude = np.array(rings(brook)[0][10:-10:10]).T
    east, north = local_plane(latitude, longitude, village.centre)
    bed = heights.at(east, north)
    assert (heights.at(east, north + 150) > bed).all() and (heights.at(east, north - 150) > bed).all()
