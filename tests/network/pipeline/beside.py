"""What a test does to the database of a hub that runs beside it: ``python -m tests.network.pipeline.beside VERB``."""

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from typing import Any

VARIABLES = ("air_temperature", "relative_humidity", "station_pressure", "rain_amount")


def ask(verb: str, environment: Mapping[str, str]) -> Any:
    """Do one verb below in a process with the hub's own settings, and return what it says."""
    command = [sys.executable, "-m", __name__, verb]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1])


def found() -> list[tuple[str, list[dict[str, float]]]]:
    """Found a village; each station's device key, and a day and a half of what it will say."""
    from stations.models import DeviceKey, Station
    from tests.network.made_village import make_village, observations
    from tests.village import five_minutes

    village = make_village(3, VARIABLES)
    times = five_minutes("2026-03-27", 1.5)
    return [
        (DeviceKey.issue(station)[1], observations(station, times)) for station in Station.objects.of(village)
    ]


def finish() -> dict[str, Any]:
    """Let claims run out, do what is left, rebuild; every stored report, and whether the two ends are the same."""
    from network.models import Report, Work
    from network.pipeline.rebuild import forget
    from network.pipeline.settle import settle
    from stations.models import Village
    from tests.network.pipeline.state import assert_nothing_is_left_to_do, state

    Work.objects.update(claimed_until=0.0)
    settle()
    assert_nothing_is_left_to_do()
    worked = state()
    forget(Village.objects.get())
    settle()
    bodies = [bytes(body).decode() for body in Report.objects.values_list("body", flat=True)]
    return {"reports": bodies, "same": worked == state(), "rows": {k: len(v) for k, v in worked.items()}}


if __name__ == "__main__":
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "network.settings")
    django.setup()
    print(json.dumps({"found": found, "finish": finish}[sys.argv[1]]()))
