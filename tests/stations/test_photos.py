"""Photos: nothing but the picture is kept, and only whom the household lets sees it."""

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

from stations.models import Photo, Station
from stations.photos import LONGEST, WrongPicture, cleaned


def telling() -> bytes:
    """A JPEG as a telephone writes it: lying on its side, with place, camera, comment and thumbnail."""
    image = Image.new("RGB", (400, 300), "white")
    image.paste("black", (0, 0, 40, 300))  # a dark left edge, which is the top once it is upright
    exif = Image.Exif()
    exif[Base.Orientation] = 6  # turn a quarter clockwise to stand upright (Exif 2.32, table 4)
    exif[Base.Make] = "Somebody's camera"
    exif.get_ifd(IFD.GPSInfo)[GPS.GPSLatitude] = (47.0, 18.0, 36.0)
    exif.get_ifd(IFD.GPSInfo)[GPS.GPSLatitudeRef] = "N"
    written = BytesIO()
    image.save(written, "JPEG", exif=exif, comment=b"at home", quality=95)
    return written.getvalue()


def test_no_metadata_remains():
    # By Pillow's own reader.
    before = Image.open(BytesIO(telling()))
    assert before.getexif().get_ifd(IFD.GPSInfo)[GPS.GPSLatitude] == (47.0, 18.0, 36.0)
    kept = cleaned(telling()).jpeg
    after = Image.open(BytesIO(kept))
    assert not after.getexif()
    assert not after.getexif().get_ifd(IFD.GPSInfo)
    assert set(after.info) <= {
        "jfif",
        "jfif_version",
        "jfif_unit",
        "jfif_density",
        "progressive",
        "progression",
    }
    for word in (b"Exif", b"http://ns.adobe.com", b"at home", b"Somebody"):
        assert word not in kept


def test_the_picture_is_turned_upright_first():
    kept = cleaned(telling())
    assert (kept.width, kept.height) == (300, 400)
    upright = Image.open(BytesIO(kept.jpeg)).convert("L")
    assert upright.getpixel((150, 10)) < 60
    assert upright.getpixel((150, 390)) > 200


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "P", "L", "LA", "CMYK"])
def test_a_large_picture_of_any_kind_becomes_a_page_sized_jpeg(mode):
    written = BytesIO()
    Image.new(mode, (3000, 1000)).save(written, "JPEG" if mode == "CMYK" else "PNG")
    kept = cleaned(written.getvalue())
    assert max(kept.width, kept.height) == LONGEST
    assert Image.open(BytesIO(kept.jpeg)).mode == "RGB"


@pytest.mark.parametrize("content", [b"", b"GIF89a", b"not a picture", telling()[:200]])
def test_what_is_no_picture_is_refused_with_a_sentence(content):
    with pytest.raises(WrongPicture, match="use a JPEG"):
        cleaned(content)


def add(homes, client, **said):
    file = SimpleUploadedFile("garden.jpg", telling(), "image/jpeg")
    where = reverse("register-photos", args=[homes.station.pk])
    return client.post(where, {"file": file, "words": "The screen", "towards": "north", **said}, follow=True)


def status(client, photo):
    return client.get(reverse("photo", args=[photo.pk])).status_code


def test_a_photo_is_seen_by_its_household_and_the_steward_until_they_say_otherwise(
    homes, keeper, steward, neighbour
):
    homes.live()
    assert "The screen" in add(homes, keeper).content.decode()
    photo = Photo.objects.get()
    assert [status(client, photo) for client in (keeper, steward, neighbour, Client())] == [
        200,
        200,
        404,
        404,
    ]
    keeper.post(reverse("register-photo-change", args=[homes.station.pk, photo.pk]), {"to": "shown"})
    assert [status(client, photo) for client in (neighbour, Client())] == [200, 200]


def test_where_the_place_is_shown_exactly_its_photos_are_too(homes, keeper):
    homes.live()
    Station.objects.filter(pk=homes.station.pk).update(shown="exact")
    add(homes, keeper)
    assert status(Client(), Photo.objects.get()) == 200
    page = Client().get(reverse("station", args=[homes.village.slug, homes.station.pk])).content.decode()
    assert 'alt="The screen"' in page


def test_the_photos_of_a_draft_are_nobody_elses(homes, keeper):
    add(homes, keeper, shown="on")
    assert status(Client(), Photo.objects.get()) == 404


def test_a_neighbour_may_neither_add_nor_take_away(homes, keeper, neighbour):
    add(homes, keeper)
    photo = Photo.objects.get()
    assert add(homes, neighbour).status_code == 404
    change = reverse("register-photo-change", args=[homes.station.pk, photo.pk])
    assert neighbour.post(change, {"to": "gone"}).status_code == 404
    keeper.post(change, {"to": "gone"})
    assert not Photo.objects.exists()


def test_faults_are_told_beside_the_field(homes, keeper):
    file = SimpleUploadedFile("notes.txt", b"words", "text/plain")
    where = reverse("register-photos", args=[homes.station.pk])
    assert "use a JPEG, PNG or WebP" in keeper.post(where, {"file": file, "words": "x"}).content.decode()
    assert "Choose a photo" in keeper.post(where, {"words": "x"}).content.decode()
