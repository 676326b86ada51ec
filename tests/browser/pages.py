"""Every page of the hub, by the name that a failed test shows, and who may open it."""

import re

from playwright.sync_api import Page

from tests.browser.village import KEEPER, STEWARD, TOO_LOW, TOO_WARM, VILLAGE, Account

MINE = "/my/stations/{}/"

PAGES: dict[str, tuple[str, Account | None]] = {
    "front": (VILLAGE, None),
    "map of the wind": (f"{VILLAGE}?variable=wind_speed", None),
    "map of the rain": (f"{VILLAGE}?variable=rain_amount", None),
    "two days of maps": (f"{VILLAGE}map/?lat=47.311&lon=8.913", None),
    "two days of wind": (f"{VILLAGE}map/?variable=wind_speed", None),
    "gate": (f"{VILLAGE}gate/?lat=47.311&lon=8.913", None),
    "explore": (f"{VILLAGE}explore/", None),
    "choosing stations": (f"{VILLAGE}compare/", None),
    "side by side": (f"{VILLAGE}compare/?stations={{}},{{other}}", None),
    "station": (f"{VILLAGE}stations/{{}}/", None),
    "record of a station": (f"{VILLAGE}stations/{{}}/record/", None),
    "record of the village": (f"{VILLAGE}record/", None),
    "chart": (f"{VILLAGE}stations/{{}}/chart/air_temperature/", None),
    "data sheet": (f"{VILLAGE}stations/{{}}/sheet/", None),
    "how one reads": ("/reading/", None),
    "station, its keeper": (f"{VILLAGE}stations/{{}}/?span=week", KEEPER),
    "reports": (f"{VILLAGE}stations/{{}}/reports/", KEEPER),
    "desk": (f"{VILLAGE}desk/", STEWARD),
    "settled": (f"{VILLAGE}desk/settled/", STEWARD),
    "trail": (f"{VILLAGE}desk/trail/", STEWARD),
    "station at the desk": (f"{VILLAGE}desk/stations/{{}}/", STEWARD),
    "case": ("{case}", STEWARD),
    "letter": ("{case}letter/", STEWARD),
    "one reading": (f"{VILLAGE}desk/reading/?station={{}}&variable=air_temperature", STEWARD),
    "my stations": ("/my/", KEEPER),
    "invitation": ("/my/invite/", STEWARD),
    "new station": ("/my/stations/new/", KEEPER),
    "name": (f"{MINE}name/", KEEPER),
    "place": (f"{MINE}place/", KEEPER),
    "instruments": (f"{MINE}instruments/", KEEPER),
    "an instrument": (f"{MINE}instruments/add/wind_speed/", KEEPER),
    "calibration": (f"{MINE}instruments/{{channel}}/calibration/", KEEPER),
    "bench": (f"{MINE}instruments/{{channel}}/bench/", KEEPER),
    "at the bench": (f"{MINE}instruments/{{channel}}/bench/points/", KEEPER),
    "photos": (f"{MINE}photos/", KEEPER),
    "siting": (f"{MINE}siting/", KEEPER),
    "siting note": (f"{MINE}siting/air_temperature/", KEEPER),
    "siting question": (f"{MINE}siting/air_temperature/near/", KEEPER),
    "eight directions": (f"{MINE}siting/air_temperature/around/", KEEPER),
    "clock": (f"{MINE}clock/", KEEPER),
    "key": (f"{MINE}key/", KEEPER),
    "waiting": (f"{MINE}waiting/", KEEPER),
    "notices": ("/my/notices/", KEEPER),
    "sign in": ("/sign-in/", None),
    "forgotten password": ("/password/forgotten/", None),
    "new password": ("/password/", KEEPER),
    "how a device sends": ("/sending/", None),
    "the API": ("/api/", None),
}


def addresses(page: Page) -> dict[str, str]:
    """The address of each page, found by a steward who follows links; stations are the false thermometer's."""
    page.goto(VILLAGE)
    number, other = number_of(page, TOO_WARM), number_of(page, TOO_LOW)
    page.goto(f"{VILLAGE}desk/")
    case = page.get_by_role("link", name=f"{TOO_LOW}, station pressure").get_attribute("href") or ""
    page.goto(f"{MINE.format(number)}instruments/")
    thermometer = page.locator(".fitted", has_text="sent as t in")
    link = thermometer.get_by_role("link", name="Calibrate it").get_attribute("href") or ""
    found = {"other": other, "case": case, "channel": link.split("/")[5]}
    return {name: address.format(number, **found) for name, (address, _) in PAGES.items()}


def number_of(page: Page, station: str) -> str:
    """The number in a station's address, from a link on the village's page."""
    link = page.locator("table").get_by_role("link", name=station, exact=True).get_attribute("href")
    found = re.search(r"/stations/(\d+)/", link or "")
    assert found, f"No link leads to {station}."
    return found[1]
