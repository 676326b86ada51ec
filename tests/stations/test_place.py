"""Placing a station on the village's sheet: what is proposed, and what others see."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from stations.models import Ground, Placement, Station


@pytest.fixture
def terrain(homes) -> Ground:
    """A plain that rises 100 m from south to north."""
    village = homes.village
    edges = {side: getattr(village, side) for side in ("south", "north", "west", "east")}
    layer = Ground(
        village=village,
        kind="elevation",
        credit="The survey",
        file_name="plain.tif",
        kept_at=timezone.now(),
        **edges,
    )
    layer.rows = 101
    layer.cells = [[400.0 + row] * layer.grid.columns for row in range(101)]
    layer.save()
    return layer


def elevation(homes, client, **where):
    return client.get(reverse("register-elevation", args=[homes.station.pk]), where)


def test_the_terrain_proposes_the_height_of_the_place_that_was_tapped(homes, keeper, terrain):
    told = elevation(homes, keeper, latitude=47.31, longitude=8.91).json()["elevation"]
    assert abs(told - 450.0) < 1.5  # constructed: halfway up, to within a cell
    assert elevation(homes, keeper, latitude=46.0, longitude=8.91).json() == {"elevation": None}
    assert elevation(homes, keeper, latitude="north").status_code == 400


def test_without_a_terrain_nothing_is_proposed(homes, keeper, neighbour):
    assert elevation(homes, keeper, latitude=47.31, longitude=8.91).json() == {"elevation": None}
    assert elevation(homes, neighbour, latitude=47.31, longitude=8.91).status_code == 404
    assert (
        'id="terrain"' not in keeper.get(reverse("register-place", args=[homes.station.pk])).content.decode()
    )


def test_the_sheet_shows_the_ground_and_names_whose_work_it_is(homes, keeper, terrain):
    page = keeper.get(reverse("register-place", args=[homes.station.pk])).content.decode()
    assert 'class="ground-elevation"' in page
    assert "Ground: The survey." in page


@pytest.mark.parametrize(("shown", "visible"), [("exact", False), ("rounded", True), ("hidden", False)])
def test_the_square_of_a_rounded_place_is_drawn_only_where_others_see_it(homes, keeper, shown, visible):
    Station.objects.filter(pk=homes.station.pk).update(shown=shown)
    page = keeper.get(reverse("register-place", args=[homes.station.pk])).content.decode()
    square = re.search(r'<rect class="seen"[^>]*>', page)[0]
    assert ("hidden" not in square) is visible


def test_rounding_hides_the_garden_in_a_square_of_some_two_hundred_metres():
    place = Placement(latitude=47.30696, longitude=8.92408)
    # 0.002 degrees of latitude are 222 m.
    assert place.rounded_place == (47.306, 8.924)


def test_a_place_is_shown_to_the_metre_and_left_as_shown_it_has_not_moved(homes, keeper):
    homes.live()
    Placement.objects.update(latitude=47.310004321, longitude=8.91)
    page = keeper.get(reverse("register-place", args=[homes.station.pk])).content.decode()
    assert 'value="47.31000"' in page and 'value="8.91000"' in page
    said = {"latitude": "47.31000", "longitude": "8.91000", "elevation": "440", "shown": "rounded"}
    keeper.post(reverse("register-place", args=[homes.station.pk]), said | {"since": "2026-03-02T12:00"})
    assert Placement.objects.get().latitude == 47.310004321
