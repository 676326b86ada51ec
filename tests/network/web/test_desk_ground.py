"""The steward's page of the ground, and the ground on the maps."""

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from stations.models import Ground, Household, Membership
from tests.stations.conftest import person, signed_in
from tests.stations.test_ground import lane, raster


@pytest.fixture
def steward(small_village):
    hall = Household.objects.create(village=small_village, name="Hall")
    return signed_in(person("stella", hall, Membership.Role.STEWARD))


def page(village) -> str:
    return f"/{village.slug}/desk/ground/"


def give(client, village, kind="elevation", content=None, **more):
    file = SimpleUploadedFile("a file", raster() if content is None else content)
    return client.post(page(village), {"kind": kind, "file": file, "credit": "The survey, CC BY", **more})


def test_a_steward_reads_a_file_looks_at_it_and_keeps_it(small_village, steward):
    assert give(steward, small_village).status_code == 302
    shown = steward.get(page(small_village)).content.decode()
    assert "Look at it first" in shown and "The survey, CC BY" in shown and "height lines" in shown
    layer = Ground.objects.get()
    shade = steward.get(f"{page(small_village)}{layer.pk}/shade.png")
    assert Image.open(BytesIO(shade.content)).size == (layer.grid.columns, layer.grid.rows)
    kept = steward.post(f"{page(small_village)}{layer.pk}/", {"do": "keep"}, follow=True)
    assert "Kept. The maps are drawn with the height of the ground" in kept.content.decode()
    assert Ground.objects.kept().count() == 1


def test_what_is_in_use_can_be_taken_back(small_village, steward):
    give(steward, small_village, "streets", lane())
    layer = Ground.objects.get()
    steward.post(f"{page(small_village)}{layer.pk}/", {"do": "keep"})
    gone = steward.post(f"{page(small_village)}{layer.pk}/", {"do": "remove"}, follow=True)
    assert "Taken back." in gone.content.decode()
    assert not Ground.objects.exists()


def test_a_bad_file_is_answered_with_a_sentence_beside_the_field(small_village, steward):
    answer = give(steward, small_village, content=b"nothing")
    assert answer.status_code == 400
    assert "cannot be read as a GeoTIFF or an ESRI ASCII grid" in answer.content.decode()


def test_a_source_must_be_named(small_village, steward):
    answer = give(steward, small_village, credit=" ")
    assert answer.status_code == 400 and "Say whose work it is" in answer.content.decode()


def test_only_the_steward_comes_in(small_village, steward, client):
    keeper = signed_in(person("kay", Household.objects.create(village=small_village, name="Barn")))
    give(steward, small_village)
    layer = Ground.objects.get()
    for who in (client, keeper):
        for address in (page(small_village), f"{page(small_village)}{layer.pk}/shade.png"):
            assert who.get(address).status_code == 404
        assert who.post(f"{page(small_village)}{layer.pk}/", {"do": "keep"}).status_code == 404
        # Not even its shade is public before it is kept.
        assert who.get(f"/{small_village.slug}/ground/{layer.pk}.png").status_code == 404


def test_the_shade_of_what_is_kept_is_public_and_may_be_kept_by_browsers(small_village, steward, client):
    give(steward, small_village)
    layer = Ground.objects.get()
    steward.post(f"{page(small_village)}{layer.pk}/", {"do": "keep"})
    answer = client.get(f"/{small_village.slug}/ground/{layer.pk}.png")
    assert answer["Content-Type"] == "image/png"
    assert "immutable" in answer["Cache-Control"]
