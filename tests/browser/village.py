"""The village that the browser meets, made in the database the environment names: python -m tests.browser.village

Eight stations report honest weather for a day and a bit, but in the last three hours one thermometer reads 30 K
too warm and one barometer 40 hPa too low. Two people have an account: the steward, and the thermometer's keeper,
whom the steward asks about it. A photo, a note on what stands around, and a file of the ground are there, too.
"""

import json
import sys
import time
from io import BytesIO
from typing import Any, NamedTuple

import django
import numpy as np
from PIL import Image, ImageDraw


class Account(NamedTuple):
    """What somebody signs in with."""

    name: str
    password: str


STEWARD = Account("steward", "brook and hill and bank")
KEEPER = Account("keeper", "mill and lane and green")
VILLAGE = "/little-aldenbrook/"
TOO_WARM, TOO_LOW = "Bank", "Lane"
PHOTOGRAPHED = "Green"
LIES = {TOO_WARM: ("t", 30.0), TOO_LOW: ("p", -40.0)}
"""Station: the channel that tells falsehoods, and what it adds to the truth in its own unit."""

HOURS = 27
FALSE_HOURS = 3
MEASURED = (
    "air_temperature",
    "relative_humidity",
    "station_pressure",
    "wind_speed",
    "wind_from_direction",
    "rain_amount",
)


def make(hours: int = HOURS) -> None:
    """Fill the database with so many hours, and do all the work that follows from it."""
    from django.contrib.auth import get_user_model
    from django.core.management import call_command

    from network.pipeline.settle import settle
    from stations.models import Household, Membership, Station
    from tests.network.made_village import Report, deliver, make_village, observations

    call_command("migrate", verbosity=0)
    village = make_village(8, MEASURED)
    for (name, password), household in ((STEWARD, "Green"), (KEEPER, TOO_WARM)):
        person = get_user_model().objects.create_user(name, f"{name}@example.org", password)
        home = Household.objects.get(village=village, name=household)
        Membership.objects.create(household=home, person=person, role=name)
    seconds = int(time.time()) // 300 * 300 - 300 * np.arange(hours * 12, dtype=np.int64)[::-1]
    false = seconds > seconds[-1] - 3600 * FALSE_HOURS
    for station in Station.objects.of(village):
        said = observations(station, seconds)
        if station.name in LIES:
            name, lie = LIES[station.name]
            said = [
                one | {name: round(one[name] + lie * now, 1)} for one, now in zip(said, false, strict=True)
            ]
        deliver(Report(station.pk, tuple(said[at : at + 72])) for at in range(0, len(said), 72))
    settle()
    _tell_more(village)


def _tell_more(village: Any) -> None:
    """What people have added: a photo, a note, a question and a lane that waits to be looked at."""
    from django.contrib.auth import get_user_model
    from django.utils import timezone

    from network.models import Case, Decision
    from network.pipeline.verbs.decisions import settle
    from stations.ground import propose
    from stations.models import Ground, Photo, Placement, SitingNote

    steward = get_user_model().objects.get(username=STEWARD.name)
    place = Placement.objects.get(station__name=PHOTOGRAPHED)
    Photo.objects.create(
        placement=place, jpeg=_photo(), width=640, height=480, words="The screen on the green", shown=True,
        towards="north", added_by=steward,
    )  # fmt: skip
    SitingNote.objects.create(
        placement=place, variable="air_temperature", siting_class=2, words="Short grass; the lane is 25 m away.",
        written_at=timezone.now(), written_by=steward,
    )  # fmt: skip
    case = Case.objects.get(station__name=TOO_WARM, variable="air_temperature")
    settle(case, Decision.Kind.ASK, steward, "Was anything moved near the screen today?")
    lane = {"type": "LineString", "coordinates": [[8.903, 47.307], [8.914, 47.311], [8.926, 47.316]]}
    propose(village, Ground.Kind.STREETS, json.dumps(lane).encode(), "lane.geojson", "Drawn by hand", steward)


def _photo() -> bytes:
    """Sky, grass and something white on a post."""
    picture, written = Image.new("RGB", (640, 480), "#9fb4c4"), BytesIO()
    pen = ImageDraw.Draw(picture)
    pen.rectangle((0, 300, 640, 480), fill="#7d8f5c")
    pen.rectangle((312, 230, 328, 420), fill="#6d5a45")
    pen.rectangle((275, 150, 365, 235), fill="#f2f0ea")
    picture.save(written, "JPEG")
    return written.getvalue()


if __name__ == "__main__":
    django.setup()
    make(*map(int, sys.argv[1:]))
