"""From an invitation to a station on the village's page, as a neighbour and the steward live through it."""

import json
import time
from datetime import datetime
from urllib.request import Request, urlopen

import numpy as np
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.people import BY_ITSELF, invitation, join
from tests.browser.village import STEWARD, VILLAGE, Account
from tests.services import LiveHub
from tests.village import Places

NAME, HOUSEHOLD = "Garden gate", "Hedge Side"
ELEVATION = 470.0
METRES_PER_PULSE, OFFSET, PERIOD = 0.6, 0.3, 300.0


def test_a_neighbour_is_invited_registers_a_station_sees_it_heard_and_finds_it_on_the_map(
    hub: LiveHub, open_page: Open
) -> None:
    steward = open_page("/my/invite/", STEWARD)
    keeper = open_page(invitation(steward, HOUSEHOLD))
    join(keeper, Account("neighbour", "hedge and gate and path"), HOUSEHOLD)
    station = _describe(keeper)
    key = _new_key(keeper)

    keeper.get_by_role("link", name="On: Is it heard?").click()
    expect(keeper.get_by_role("heading", name="Waiting for its first report")).to_be_visible()
    warmth, speed = _report(hub, key, station)
    heard = keeper.get_by_role("heading", name="We hear it")
    expect(heard).to_be_visible(timeout=BY_ITSELF)  # the page turned by itself
    expect(keeper.get_by_role("row", name="tempf")).to_contain_text(f"{warmth[max(warmth)]} °C")
    expect(keeper.get_by_role("row", name="pulses")).to_contain_text(f"{speed} m/s")

    keeper.get_by_role("button", name="Send it for approval").click()
    expect(keeper.get_by_text("Sent for approval").first).to_be_visible()
    expect(_visited(keeper, VILLAGE).get_by_role("link", name=NAME)).to_have_count(0)
    _approve(steward)

    for _ in range(40):
        if NAME in _visited(keeper, VILLAGE).locator(".village-map").inner_html():
            break
        keeper.wait_for_timeout(500)  # the worker is looking
    expect(keeper.locator(".village-map")).to_contain_text(NAME)
    expect(keeper.locator(".strip").get_by_role("link", name=NAME)).to_be_visible()
    row = keeper.locator(".village-table").get_by_role("row", name=NAME)
    expect(row.get_by_role("cell").nth(1)).to_have_text(warmth[_time_of(keeper)])


def _describe(keeper: Page) -> Places:
    """Answer one question after the other; returns where the station stands."""
    keeper.get_by_role("link", name="Register a station").click()
    keeper.get_by_label("What is the station called?").fill(NAME)
    keeper.get_by_role("button", name="Keep it and go on").click()

    sheet = keeper.locator(".sheet svg")
    keeper.wait_for_load_state()  # only then does the sheet answer a tap
    size = sheet.bounding_box() or {}
    sheet.click(position={"x": 0.6 * size["width"], "y": 0.55 * size["height"]})  # a tap fills both figures
    place = [float(keeper.get_by_label(label).input_value()) for label in ("Latitude", "Longitude")]
    keeper.get_by_label("Elevation of the ground").fill(f"{ELEVATION}")
    keeper.get_by_label("Since when does it stand there?").fill(f"{_yesterday()}T00:00")
    keeper.get_by_role("button", name="Keep it and go on").click()

    keeper.get_by_role("link", name="air temperature", exact=True).click()
    keeper.get_by_role("link", name="an outdoor thermometer in a louvred screen").click()
    keeper.get_by_label("Which name does the device send it by?").fill("tempf")
    keeper.get_by_label("In which unit does it send it?").select_option(label="°F")
    keeper.get_by_role("button", name="Keep it").click()

    keeper.get_by_role("link", name="wind speed", exact=True).click()
    keeper.get_by_label("Which name does the device send it by?").fill("pulses")
    keeper.get_by_label("In which unit does it send it?").select_option("count")
    keeper.get_by_role("button", name="Keep it").click()
    keeper.get_by_label("Metres per pulse").fill(f"{METRES_PER_PULSE}")
    keeper.get_by_label("Offset").fill(f"{OFFSET}")
    keeper.get_by_label("Period").fill(f"{PERIOD:g}")
    keeper.get_by_role("button", name="Keep it").click()

    keeper.get_by_role("link", name="On: What stands around it?").click()
    keeper.get_by_role("link", name="Air temperature").click()
    _answer_what_stands_around(keeper)
    keeper.get_by_label("in your own words").fill("Short grass by the gate; the house is 31 m away.")
    keeper.get_by_role("button", name="Write it down").click()
    expect(keeper.get_by_text("class 2")).to_be_visible()

    keeper.get_by_role("link", name="On: How does it tell the time?").click()
    keeper.get_by_role("radio", name="every 5 minutes").check()
    keeper.get_by_role("button", name="Keep it and go on").click()
    return Places(*(np.array([each]) for each in (*place, ELEVATION)))


def _answer_what_stands_around(keeper: Page) -> None:
    """A thermometer over short grass, 31 m from the house: class 2 by the published table."""
    keeper.get_by_role("link", name="Answer 7 short questions").click()
    keeper.get_by_label("Height of the thermometer").fill("1.6")
    keeper.get_by_role("button", name="Keep it and go on").click()
    keeper.wait_for_load_state()
    keeper.get_by_role("radio", name="Short grass").check()
    expect(keeper.locator("#worked-out")).to_contain_text("Short grass")  # it answers while one chooses
    keeper.get_by_role("button", name="Keep it and go on").click()
    keeper.get_by_role("radio", name="Level").check()
    keeper.get_by_role("button", name="Keep it and go on").click()
    keeper.get_by_label("To the nearest wall").fill("31")
    keeper.get_by_role("button", name="Keep it and go on").click()
    for _ in ("cover", "around"):
        keeper.get_by_role("button", name="Keep it and go on").click()
    keeper.get_by_role("radio", name="Only while the sun is lower than 5°").check()
    keeper.get_by_role("button", name="Keep it and go on").click()
    expect(keeper.get_by_role("heading", name="Class 2 of 5")).to_be_visible()


def _new_key(keeper: Page) -> str:
    keeper.get_by_role("button", name="Make a key").click()
    return keeper.locator(".notice code.key").inner_text()


def _report(hub: LiveHub, key: str, station: Places) -> tuple[dict[int, str], str]:
    """Send two hours of the true weather as the device would.

    Returns the temperatures in °C by their time and the last wind in m/s, as pages show them.
    """
    seconds = int(time.time()) // 300 * 300 - 300 * np.arange(24, dtype=np.int64)[::-1]
    truth = station.truth(seconds)
    celsius = np.round(truth["air_temperature"][0] - 273.15, 1)
    tenths = np.maximum(np.round(10 * truth["wind_speed"][0]), 10 * OFFSET + 1)  # the rotor turns
    pulses = np.round((tenths / 10 - OFFSET) / METRES_PER_PULSE * PERIOD)
    said = [
        {"time": int(at), "tempf": round(32 + 1.8 * float(warm), 2), "pulses": int(count)}
        for at, warm, count in zip(seconds, celsius, pulses, strict=True)
    ]
    headers = {"Authorization": f"Bearer {key}", "Content-Type": "application/json"}
    with urlopen(Request(f"{hub.url}/api/reports", json.dumps(said).encode(), headers), timeout=30) as answer:
        assert answer.status == 202
    shown = [f"{warm + 0:.1f}".replace("-", "−") for warm in celsius]
    return dict(zip(seconds.tolist(), shown, strict=True)), f"{tenths[-1] / 10:.1f}"


def _approve(steward: Page) -> None:
    _visited(steward, f"{VILLAGE}desk/").get_by_role("article").get_by_role("link", name=NAME).click()
    expect(steward.get_by_text("Short grass by the gate")).to_be_visible()
    steward.get_by_role("radio", name="It counts in the village").check()
    steward.get_by_label("Why, or what is missing").fill("Well sited.")
    steward.get_by_role("button", name="Decide").click()
    expect(steward.get_by_role("status")).to_contain_text(f"Decided. {NAME}")


def _time_of(page: Page) -> int:
    """The moment that the village's page tells of, UTC epoch seconds."""
    told = page.locator("time.when").first.get_attribute("datetime") or ""
    return int(datetime.fromisoformat(told).timestamp())


def _visited(page: Page, address: str) -> Page:
    page.goto(address)
    return page


def _yesterday() -> str:
    return time.strftime("%Y-%m-%d", time.gmtime(time.time() - 86400))
