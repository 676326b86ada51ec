"""A village with stations enough, in the database the environment names: python -m tests.boards.village"""

import json
import os
from pathlib import Path

import django

STATIONS = 60
"""One for each test, should one worker run them all."""


def make() -> None:
    """Stations that measure rain, and their numbers and keys in a file beside the database."""
    from django.core.management import call_command

    from stations.models import DeviceKey
    from tests.network.made_village import found_village, settle_station

    call_command("migrate", verbosity=0)
    village = found_village()
    place = (village.south + 0.01, village.west + 0.01, 440.0)
    made = [settle_station(village, f"Board {n}", ("rain_amount",), place=place) for n in range(STATIONS)]
    keys = [(station.pk, DeviceKey.issue(station)[1]) for station in made]
    Path(os.environ["HUB_DATA"], "keys.json").write_text(json.dumps(keys))


if __name__ == "__main__":
    django.setup()
    make()
