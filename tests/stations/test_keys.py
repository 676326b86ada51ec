"""Device keys and the line to paste."""

import json
import shlex

import pytest
from django.test import Client
from django.urls import reverse

from network.science.variables import MEASURED, VARIABLES
from stations import history
from stations.calibrating import sent_units
from stations.models import DeviceKey
from stations.models.key import digest
from stations.sending import curl_line
from tests.stations.conftest import SINCE


def made(keeper, station) -> str:
    """A new key, as its page shows it."""
    page = keeper.post(reverse("register-key", args=[station.pk])).content.decode()
    return page.split('<code class="key">')[1].split("<")[0]


def test_a_key_is_shown_once_and_kept_as_a_hash(homes, keeper):
    key = made(keeper, homes.station)
    assert DeviceKey.objects.get().hash == digest(key)
    page = keeper.get(reverse("register-key", args=[homes.station.pk]))
    assert key not in page.content.decode()
    assert f"…{key[-4:]}" in page.content.decode()
    assert "no-store" in page.headers["Cache-Control"]


def test_two_keys_may_hold_while_one_takes_over_and_no_third(homes, keeper):
    first, second = made(keeper, homes.station), made(keeper, homes.station)
    page = keeper.post(reverse("register-key", args=[homes.station.pk]), follow=True)
    assert "revoke the one no device uses" in page.content.decode()
    assert DeviceKey.objects.count() == 2
    assert first != second


def test_a_revoked_key_opens_nothing(homes, keeper):
    key = made(keeper, homes.station)
    keeper.post(reverse("register-key-revoke", args=[homes.station.pk, DeviceKey.objects.get().pk]))
    sent = Client().post(reverse("reports"), {"temp": 20}, "application/json", headers={"X-Device-Key": key})
    assert sent.status_code == 403


@pytest.mark.parametrize(
    ("site", "told"), [("http://127.0.0.1:8000", True), ("https://weather.example", False)]
)
def test_a_hub_that_only_its_own_machine_finds_says_so(homes, keeper, settings, site, told):
    settings.SITE_URL = site
    page = keeper.get(reverse("register-key", args=[homes.station.pk])).content.decode()
    assert ("another device finds the hub once" in page) is told


def test_the_line_to_paste_sends_a_report_that_is_understood(homes, keeper):
    history.fit(homes.station, {"variable": "rain_amount"}, {"name": "it's wet", "unit": "[in_i]"}, SINCE)
    key = made(keeper, homes.station)
    line = shlex.split(curl_line("http://hub/api/reports", key, list(homes.station.channels.all())))
    headers = dict(line[i + 1].split(": ", 1) for i, word in enumerate(line) if word == "-H")
    body = line[line.index("-d") + 1]
    kind = headers.pop("Content-Type")
    sent = Client().post(reverse("reports"), body, kind, headers=headers)
    assert sent.status_code == 202
    assert sent.json()["readings"] == 2
    assert set(json.loads(body)) == {"temp", "it's wet"}


@pytest.mark.parametrize("name", MEASURED)
def test_the_made_up_values_are_possible(homes, name):
    from network.science.units import convert
    from stations.sending import example

    variable = VARIABLES[name]
    for unit in sent_units(variable):
        channel = history.fit(homes.station, {"variable": name}, {"name": f"c{unit}", "unit": unit}, SINCE)
        value = example([channel])[channel.name]
        if unit not in ("count", "1/s", "lx"):
            assert variable.limits.low <= convert(value, unit, variable.unit) <= variable.limits.high
