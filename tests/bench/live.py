"""What people feel: from a device's 202 to the verdict, on the embedded hub; and the front page at the server."""

import json
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlencode
from urllib.request import Request, urlopen

import numpy as np
from django.conf import settings
from django.db import connection
from django.test import Client
from tqdm import tqdm

from network.demo.boards import Board
from network.demo.history import STEP
from network.demo.speech import sent
from network.demo.weather import Weather
from network.models import Observation
from network.models.observation import MARKS
from network.pipeline.metadata.tongue import from_epoch
from network.quality.verdict import UNCHECKED
from stations.models import DeviceKey, Station
from tests.bench.demo import settled_demo
from tests.bench.figure import Figure, taking_turns, timed
from tests.services import LiveHub, live_hub

DAYS = 5
ROUNDS = 4
"""Times at which all ten stations of the village report."""


def measure(database: str) -> Iterator[Figure]:
    """Milliseconds of the front page, and seconds to the verdict for 95 of 100 reports."""
    now = int(time.time()) // STEP * STEP
    until = now - ROUNDS * STEP
    village, boards, weather = settled_demo(DAYS, now, until)
    stations = {station.name: station for station in Station.objects.of(village)}
    yield _front_page(village.slug)
    keys = {name: DeviceKey.issue(station)[1] for name, station in stations.items()}
    pks = {name: station.pk for name, station in stations.items()}
    connection.close()
    with live_hub(data=Path(settings.DATA)) as hub:
        yield _live_delay(hub, boards, weather, until, keys, pks)


def _front_page(village: str) -> Figure:
    client = Client()
    client.get(f"/{village}/")  # templates are read once

    def page() -> None:
        assert client.get(f"/{village}/").status_code == 200

    value, empty, ratio = taking_turns("front_page", 25, timed(page), timed(lambda: client.get("/healthz")))
    return Figure("front_page", value * 1e3, "ms", empty * 1e3, ratio, "value <= 100")


def _live_delay(
    hub: LiveHub, boards: list[Board], weather: Weather, since: int, keys: dict[str, str], pks: dict[str, int]
) -> Figure:
    """All stations report at once, as they do on the minute; each verdict counts once a reader has been told it.

    Readers may not ask ten times a second, so the database says when asking is worth while.
    """
    delays, behind = [], {board.station: board.behind for board in boards}
    for turn in tqdm(range(ROUNDS), desc="live_delay", delay=2, leave=False):
        at = since + turn * STEP
        waiting = {}
        for board in boards:
            if board.clock in ("none", "age"):
                continue  # their times are those of receipt, which a report of the past cannot have
            for report in sent(board, weather, np.array([at])):
                _post(hub, keys[board.station], report.content_type, report.body)
                waiting[board.station] = time.monotonic()
        deadline = time.monotonic() + 60
        while waiting:
            for name in list(waiting):
                when = at - behind[name]
                if _checked(pks[name], when) and _told(hub, pks[name], when):
                    delays.append(time.monotonic() - waiting.pop(name))
            assert time.monotonic() < deadline, f"No verdict within a minute: {sorted(waiting)}"
            time.sleep(0.05)
        time.sleep(2)  # let the maps be drawn: reports come every five minutes
    return Figure("live_delay", float(np.quantile(delays, 0.95)), "s", None, None, "value <= 5")


def _post(hub: LiveHub, key: str, content_type: str, body: bytes) -> None:
    headers = {"Authorization": f"Bearer {key}", "Content-Type": content_type}
    with urlopen(Request(f"{hub.url}/api/reports", body, headers), timeout=30) as answer:
        assert answer.status == 202


def _checked(station: int, at: int) -> bool:
    """Whether the database has a row of this time without an unchecked reading."""
    row = Observation.objects.filter(station=station, observed_at=at).values_list(*MARKS).first()
    return row is not None and all(mark & 7 != UNCHECKED for mark in row if mark is not None)


def _told(hub: LiveHub, station: int, at: int) -> bool:
    """Whether the hub tells a verdict for every reading of this time."""
    span = urlencode({"from": f"{from_epoch(at - 1):%FT%TZ}", "to": f"{from_epoch(at):%FT%TZ}"})
    with urlopen(f"{hub.url}/api/stations/{station}/observations?{span}", timeout=30) as answer:
        found = json.load(answer)["observations"]
    return bool(found) and all(one["verdict"] != "unchecked" for one in found[0]["readings"].values())
