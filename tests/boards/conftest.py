"""A real hub with stations, a bad line to it, and a board with each of the programs."""

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.boards.faulty_line import Line, faulty_line
from tests.boards.making import MAKERS
from tests.boards.running import Board
from tests.services import ROOT, LiveHub, hub_environment, live_hub


@pytest.fixture(scope="session")
def hub(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHub]:
    """The site as it runs in earnest, with a village in its database."""
    data = tmp_path_factory.mktemp("hub")
    env = hub_environment(data, None, None, {"DJANGO_SETTINGS_MODULE": "network.settings"})
    subprocess.run([sys.executable, "-m", "tests.boards.village"], check=True, cwd=ROOT, env=env)
    with live_hub(data=data, environment={"HUB_REPORTS_PER_MINUTE": "100000"}) as running:
        yield running


@pytest.fixture
def line(hub: LiveHub) -> Iterator[Line]:
    """The line to it, on which all is well until a test wishes otherwise."""
    with faulty_line(hub.url) as between:
        yield between


@pytest.fixture(scope="session")
def stations(hub: LiveHub) -> Iterator[tuple[int, str]]:
    """Stations that nobody has used yet, with their keys."""
    return iter(json.loads((hub.data / "keys.json").read_text()))


@pytest.fixture(params=MAKERS)
def board(
    request: pytest.FixtureRequest,
    hub: LiveHub,
    stations: Iterator[tuple[int, str]],
    line: Line,
    tmp_path: Path,
) -> Board:
    """A board with each of the programs, on the bad line."""
    station, key = next(stations)
    made = MAKERS[request.param](f"{line.address}/api/reports", key, tmp_path)
    return Board(made, tmp_path, hub, station, key)
