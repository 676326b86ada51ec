"""A station's programs: its own channels and address, and its key only where the key itself is shown."""

import ast
import json
import subprocess

import pytest
from django.urls import reverse

from stations import history
from stations.models import DeviceKey
from stations.programs import KINDS, program
from tests.stations.conftest import SINCE

ODD = """it's "wet" \\ $(here) `there` %} 100% é"""


def saved(client, station, kind, key=""):
    address = reverse("register-program", args=[station.pk, kind])
    return client.post(address, {"key": key}) if key else client.get(address)


@pytest.mark.parametrize("kind", KINDS)
def test_the_key_is_in_the_file_only_when_the_page_that_shows_it_asks(homes, keeper, kind):
    _, key = DeviceKey.issue(homes.station)
    with_key, without = saved(keeper, homes.station, kind, key), saved(keeper, homes.station, kind)
    assert key in with_key.content.decode() and "no-store" in with_key["Cache-Control"]
    assert key not in without.content.decode() and "YOUR-KEY" in without.content.decode()
    assert "attachment" in with_key["Content-Disposition"]


def test_a_key_of_another_station_goes_into_no_program(homes, keeper):
    assert "YOUR-KEY" in saved(keeper, homes.station, "shell", "somebody-elses-key").content.decode()


def test_the_page_of_a_new_key_has_the_programs_with_it_and_later_without(homes, keeper):
    history.fit(homes.station, {"variable": "wind_speed"}, {"name": "rotor", "unit": "count"}, SINCE)
    address = reverse("register-key", args=[homes.station.pk])
    page = keeper.post(address).content.decode()
    key = page.split('<code class="key">')[1].split("<")[0]
    assert page.count(f"Bearer {key}") == 1 and page.count(key) == 1 + 1 + 2 * len(KINDS)
    assert "&quot;rotor&quot;: 1,  # wind speed as pulses" in page
    assert key not in keeper.get(address).content.decode()


def test_nobody_else_gets_them(homes, client):
    assert saved(client, homes.station, "shell").status_code == 302


def test_a_board_that_counts_pulses_does_not_sleep(homes):
    channels = list(homes.station.channels.all())
    assert "DEEP_SLEEP = True" in program(KINDS["micropython"], "http://h", "k", channels, 300).text
    history.fit(homes.station, {"variable": "wind_speed"}, {"name": "rotor", "unit": "count"}, SINCE)
    channels = list(homes.station.channels.all())
    assert "DEEP_SLEEP = False" in program(KINDS["micropython"], "http://h", "k", channels, 300).text


def test_a_name_of_any_signs_stays_a_name(homes):
    history.fit(homes.station, {"variable": "surface_wetness"}, {"name": ODD, "unit": "%"}, SINCE)
    channels = list(homes.station.channels.all())
    python = program(KINDS["micropython"], "http://h", "k", channels, 300).text
    said = next(node for node in ast.walk(ast.parse(python)) if isinstance(node, ast.Dict))
    assert ODD in [key.value for key in said.keys]
    shell = program(KINDS["shell"], "http://h", "k", channels, 300).text
    readings = shell[shell.index("readings() {") : shell.index("UPTIME=")]
    told = f"{readings}\nsay() {{ printf '%s\\n' \"$1\"; }}\nreadings"
    lines = subprocess.run(["sh", "-c", told], capture_output=True, text=True, check=True).stdout.splitlines()
    assert ODD in [json.loads(line) for line in lines]
