"""Pages that no fixed address shows: in German, behind a link from a letter, just after a key was made."""

import re

import pytest
from playwright.sync_api import expect

from network.web.reader import COOKIE, Reader
from tests.browser.conftest import Open
from tests.browser.pages import PAGES
from tests.browser.people import letter
from tests.browser.rules import keeps_the_rules
from tests.browser.village import KEEPER
from tests.services import LiveHub

IN_GERMAN = (
    "front",
    "two days of maps",
    "station",
    "chart",
    "side by side",
    "explore",
    "month of the village",
    "table to learn from",
    "how readings are checked",
    "how a device sends",
)


@pytest.mark.parametrize("name", IN_GERMAN)
def test_german_is_longer_and_a_page_keeps_the_rules_all_the_same(
    name: str, hub: LiveHub, addresses: dict[str, str], open_page: Open
) -> None:
    page = open_page("/reading/")
    page.context.add_cookies([{"name": COOKIE, "value": Reader(language="de").cookie(), "url": hub.url}])
    page.goto(addresses[name])
    expect(page.locator("html")).to_have_attribute("lang", "de")
    if name == "explore":
        expect(page.locator(".interactive .main-svg")).not_to_have_count(0)
    keeps_the_rules(page)


def test_the_page_behind_the_link_for_a_new_password_keeps_the_rules(hub: LiveHub, open_page: Open) -> None:
    page = open_page(PAGES["forgotten password"][0])
    page.get_by_label("E-mail").fill(f"{KEEPER.name}@example.org")
    page.get_by_role("main").get_by_role("button").click()
    page.wait_for_url("**/password/sent/")
    page.goto(letter(hub, f"{KEEPER.name}@example.org", "password"))
    expect(page.locator("input[type=password]")).to_have_count(2)
    keeps_the_rules(page)


def test_the_page_that_shows_a_new_key_keeps_the_rules(addresses: dict[str, str], open_page: Open) -> None:
    page = open_page(addresses["key"], KEEPER)
    page.get_by_role("button", name=re.compile("^Make a ")).click()
    key = page.locator(".notice code.key").inner_text()
    page.locator("details.program summary").first.click()
    keeps_the_rules(page)
    page.get_by_role("button", name=f"Revoke the key ending in {key[-4:]}").click()
