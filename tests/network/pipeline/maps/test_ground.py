"""What a village's maps know of the ground they lie on."""

import json
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.models import FieldFit, VillageMap
from network.pipeline.maps.fits import believed, learnt_of, row_of, spell_of
from network.pipeline.maps.ground import covered, grounded
from network.pipeline.maps.map import estimate
from network.spatial.distance import from_local_plane
from network.spatial.sites import Sites
from stations.ground import keep, propose
from stations.models import Ground, Village
from tests.network.pipeline.told import village_of
from tests.stations.test_ground import raster
from tests.village import five_minutes

pytestmark = pytest.mark.django_db
WARM = "air_temperature"
PLACES = Sites.at([-600.0, 0.0, 600.0], [300.0, 0.0, -300.0])


def trees(latitude, longitude):
    """A wood that thins out towards the east: 90 % at 8.89, 10 % less with each hundredth of a degree."""
    return 90 - 1000 * (longitude - 8.89) + 0 * latitude


def give(village: Village, kind: str, of) -> None:
    keep(propose(village, kind, raster(of), "a file", "The survey"))


def level(latitude, longitude):
    return 480 + 0 * (latitude + longitude)


def test_places_know_their_trees_where_there_is_a_terrain_too():
    village = village_of(3, five_minutes("2026-04-10", 1 / 24))
    give(village, Ground.Kind.TREE_COVER, trees)
    assert covered(village, PLACES).cover is None
    give(village, Ground.Kind.ELEVATION, level)
    _, longitude = from_local_plane(PLACES.east, PLACES.north, village.centre)
    found = grounded(village, PLACES, [])
    assert_allclose(found.elevation, 480, atol=0.01)
    assert_allclose(found.cover[:, 1], trees(0, longitude) / 100, atol=2e-3)
    assert not found.cover[:, 0].any()


def test_slopes_that_were_learnt_are_kept_and_come_back():
    village = village_of(3, five_minutes("2026-04-10", 1 / 24))
    said = believed(WARM)
    said = replace(said, field=replace(said.field, slopes=(0.0, 1.25)))
    row = row_of(village, WARM, FieldFit.Part.DAY, 0, said, 40)
    row.fields = json.loads(json.dumps(row.fields))
    assert learnt_of(row).field.slopes == (0.0, 1.25)


def test_a_map_follows_the_trees_as_far_as_it_learnt_to():
    morning = five_minutes("2026-04-10", 1 / 24)
    village = village_of(8, morning)
    give(village, Ground.Kind.ELEVATION, level)
    one = VillageMap.objects.filter(village=village, variable=WARM).last()
    bare = estimate(village, [one], grounded(village, PLACES, [])).estimate[:, 0]
    give(village, Ground.Kind.TREE_COVER, trees)
    assert_allclose(estimate(village, [one], grounded(village, PLACES, [])).estimate[:, 0], bare)
    said = believed(WARM)
    said = replace(said, field=replace(said.field, slopes=(0.0, 5.0)))
    row_of(village, WARM, one.part, spell_of(one.at), said, 40).save()
    followed = estimate(village, [one], grounded(village, PLACES, [])).estimate[:, 0]
    # The made village has no trees that cool, so its readings let the slope say little: but something.
    assert np.abs(followed - bare).max() > 0.002
