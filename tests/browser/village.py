"""The village that the browser meets, made in the database the environment names: python -m tests.browser.village

Eight stations report honest weather for a day and a bit, but in the last three hours one thermometer reads 30 K
too warm and one barometer 40 hPa too low. Two people have an account: the steward, and the thermometer's keeper.
"""

import time
from typing import NamedTuple

import django
import numpy as np


class Account(NamedTuple):
    """What somebody signs in with."""

    name: str
    password: str


STEWARD = Account("steward", "brook and hill and bank")
KEEPER = Account("keeper", "mill and lane and green")
VILLAGE = "/little-aldenbrook/"
TOO_WARM, TOO_LOW = "Bank", "Lane"
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


def make() -> None:
    """Fill the database and do all the work that follows from it."""
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
    seconds = int(time.time()) // 300 * 300 - 300 * np.arange(HOURS * 12, dtype=np.int64)[::-1]
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


if __name__ == "__main__":
    django.setup()
    make()
