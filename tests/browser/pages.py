"""Every page of the hub, by the name that a failed test shows, and who may open it."""

import re
from urllib.parse import urlsplit

from playwright.sync_api import Page

from tests.browser.village import KEEPER, PHOTOGRAPHED, STEWARD, TOO_LOW, TOO_WARM, VILLAGE, Account

MINE = "/my/stations/{}/"
HERE = "lat=47.311&lon=8.913"

PUBLIC = {
    "front": VILLAGE,
    "map of the wind": f"{VILLAGE}?variable=wind_speed",
    "map of the rain": f"{VILLAGE}?variable=rain_amount",
    "two days of maps": f"{VILLAGE}map/?{HERE}",
    "two days of wind": f"{VILLAGE}map/?variable=wind_speed",
    "scores of maps": f"{VILLAGE}map/scores/",
    "gate": f"{VILLAGE}gate/?{HERE}",
    "explore": f"{VILLAGE}explore/",
    "choosing stations": f"{VILLAGE}compare/",
    "side by side": f"{VILLAGE}compare/?stations={{}},{{other}}",
    "station": f"{VILLAGE}stations/{{}}/",
    "station with a photo": f"{VILLAGE}stations/{{photographed}}/",
    "record of a station": f"{VILLAGE}stations/{{}}/record/",
    "year of a station": f"{VILLAGE}stations/{{}}/record/{{year}}/",
    "month of a station": f"{VILLAGE}stations/{{}}/record/{{month}}/",
    "day of a station": f"{VILLAGE}stations/{{}}/record/{{day}}/",
    "record of the village": f"{VILLAGE}record/",
    "year of the village": f"{VILLAGE}record/{{year}}/",
    "month of the village": f"{VILLAGE}record/{{month}}/",
    "day of the village": f"{VILLAGE}record/{{day}}/",
    "table to learn from": f"{VILLAGE}record/training/",
    "chart": f"{VILLAGE}stations/{{}}/chart/air_temperature/",
    "chart of directions": f"{VILLAGE}stations/{{}}/chart/wind_from_direction/",
    "data sheet": f"{VILLAGE}stations/{{}}/sheet/",
    "how one reads": "/reading/",
    "how readings are checked": "/checks/",
    "how a device sends": "/sending/",
    "the API": "/api/",
    "sign in": "/sign-in/",
    "forgotten password": "/password/forgotten/",
    "letter sent": "/password/sent/",
    "stale link": "/password/x/y/",
    "invited": "{invited}",
}

KEEPERS = {
    "front, a keeper": VILLAGE,
    "station, its keeper": f"{VILLAGE}stations/{{}}/?span=week",
    "reports": f"{VILLAGE}stations/{{}}/reports/",
    "my stations": "/my/",
    "new station": "/my/stations/new/",
    "name": f"{MINE}name/",
    "place": f"{MINE}place/",
    "instruments": f"{MINE}instruments/",
    "a new instrument": f"{MINE}instruments/add/wind_speed/",
    "an instrument": f"{MINE}instruments/{{channel}}/",
    "taking an instrument down": f"{MINE}instruments/{{channel}}/remove/",
    "calibration": f"{MINE}instruments/{{channel}}/calibration/",
    "bench": f"{MINE}instruments/{{channel}}/bench/",
    "at the bench": f"{MINE}instruments/{{channel}}/bench/points/",
    "siting": f"{MINE}siting/",
    "siting note": f"{MINE}siting/air_temperature/",
    "siting question": f"{MINE}siting/air_temperature/near/",
    "eight directions": f"{MINE}siting/air_temperature/around/",
    "siting, height": f"{MINE}siting/air_temperature/height/",
    "siting, ground": f"{MINE}siting/air_temperature/ground/",
    "siting, slope": f"{MINE}siting/air_temperature/slope/",
    "siting, cover": f"{MINE}siting/air_temperature/cover/",
    "siting, shade": f"{MINE}siting/air_temperature/shade/",
    "siting, rim": f"{MINE}siting/rain_amount/rim/",
    "siting, mast": f"{MINE}siting/wind_speed/mast/",
    "siting, narrow": f"{MINE}siting/wind_speed/narrow/",
    "siting, land": f"{MINE}siting/wind_speed/land/",
    "photos": f"{MINE}photos/",
    "clock": f"{MINE}clock/",
    "key": f"{MINE}key/",
    "waiting": f"{MINE}waiting/",
    "notices": "/my/notices/",
    "question to a keeper": "/my/answers/1/",
    "account": "/my/account/",
    "e-mail address": "/my/account/email/",
    "closing an account": "/my/account/close/",
    "household": "{household}",
    "leaving a household": "{household}leave/",
    "handing over": "{household}hand-over/",
    "erasing a household": "{household}erase/",
    "new password": "/password/",
}

STEWARDS = {
    "front, a steward": VILLAGE,
    "station, a steward": f"{VILLAGE}stations/{{}}/",
    "my stations, a steward": "/my/",
    "invitation": "/my/invite/",
    "household, a steward": "{household}",
    "desk": f"{VILLAGE}desk/",
    "settled": f"{VILLAGE}desk/settled/",
    "trail": f"{VILLAGE}desk/trail/",
    "ground": f"{VILLAGE}desk/ground/",
    "station at the desk": f"{VILLAGE}desk/stations/{{}}/",
    "case": "{case}",
    "letter": "{case}letter/",
    "one reading": f"{VILLAGE}desk/reading/?station={{}}&variable=air_temperature",
    "photos, a steward": "/my/stations/{photographed}/photos/",
}

PAGES: dict[str, tuple[str, Account | None]] = {
    name: (address, reader)
    for pages, reader in ((PUBLIC, None), (KEEPERS, KEEPER), (STEWARDS, STEWARD))
    for name, address in pages.items()
}


def addresses(page: Page) -> dict[str, str]:
    """The address of each page, found by a steward who follows links; stations are the false thermometer's."""
    page.goto(VILLAGE)
    number, other, photographed = (number_of(page, name) for name in (TOO_WARM, TOO_LOW, PHOTOGRAPHED))
    told = page.locator("time.when").first.get_attribute("datetime") or ""
    year, month, day = told[:10].split("-")
    page.goto(f"{VILLAGE}desk/")
    case = page.get_by_role("link", name=f"{TOO_LOW}, station pressure").get_attribute("href") or ""
    page.goto(f"{MINE.format(number)}instruments/")
    thermometer = page.locator(".fitted", has_text="sent as t in")
    link = thermometer.get_by_role("link", name="Calibrate it").get_attribute("href") or ""
    found = {
        "other": other,
        "photographed": photographed,
        "case": case,
        "channel": link.split("/")[5],
        "year": year,
        "month": f"{year}/{int(month)}",
        "day": f"{year}/{int(month)}/{int(day)}",
        "household": f"/my/households/{number}/",  # each was made with its one station
        "invited": _invited(page),
    }
    return {name: address.format(number, **found) for name, (address, _) in PAGES.items()}


def number_of(page: Page, station: str) -> str:
    """The number in a station's address, from a link on the village's page."""
    link = page.locator("table").get_by_role("link", name=station, exact=True).get_attribute("href")
    found = re.search(r"/stations/(\d+)/", link or "")
    assert found, f"No link leads to {station}."
    return found[1]


def _invited(page: Page) -> str:
    """Where a link leads that the steward makes, for a household that no test founds: a name is given once."""
    page.goto("/my/invite/")
    page.get_by_label("Or into a new household").fill("Empty House")
    page.get_by_role("button", name="Make the link").click()
    return urlsplit(page.locator("code.key").inner_text()).path
