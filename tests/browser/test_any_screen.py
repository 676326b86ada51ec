"""Each page on a phone and a desk, by day and by night, by the rules of accessibility, and without JavaScript.

`turn_to` and `open_page` see that nothing goes amiss on any.
"""

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.conftest import Open
from tests.browser.pages import PAGES
from tests.browser.rules import keeps_the_rules, violations
from tests.browser.village import VILLAGE
from tests.services import LiveHub

PICTURED = (
    "front",
    "map of the wind",
    "map of the rain",
    "two days of maps",
    "explore",
    "station",
    "station, its keeper",
    "side by side",
    "case",
)


@pytest.mark.parametrize("name", PAGES)
def test_a_page_fits_its_screen_and_breaks_no_rule_of_accessibility_by_day_and_by_night(
    name: str, addresses: dict[str, str], turn_to: Open
) -> None:
    page = turn_to(addresses[name], PAGES[name][1], width=390)
    expect(page.locator("h1")).to_have_count(1)
    if name == "explore":
        expect(page.locator(".interactive .main-svg")).not_to_have_count(0)
    keeps_the_rules(page)


def test_the_page_for_what_is_not_there_breaks_no_rule_either(hub: LiveHub, browser: Browser) -> None:
    page = browser.new_page(base_url=hub.url)
    answer = page.goto("/no-such-village/")
    assert answer is not None and answer.status == 404
    assert not (found := violations(page)), found
    page.close()


@pytest.mark.parametrize("name", PICTURED)
def test_without_javascript_a_page_shows_its_picture_and_its_table(
    name: str, addresses: dict[str, str], open_page: Open
) -> None:
    page = open_page(addresses[name], PAGES[name][1], java_script_enabled=False)
    expect(page.locator("main svg:is([role=img], :has([role=img]))").first).to_be_visible()
    for figures in page.get_by_text("the figures", exact=True).all()[:1]:
        figures.click()
    expect(page.get_by_role("table").first).to_be_visible()


def test_without_javascript_the_map_is_stepped_by_links_and_by_its_slider(open_page: Open) -> None:
    page = open_page(VILLAGE, java_script_enabled=False)
    time = page.locator("output[for=at]")
    newest = time.inner_text()
    page.get_by_role("link", name="an hour earlier").click()
    expect(time).not_to_have_text(newest)
    earlier = time.inner_text()
    assert _minutes(newest, since=earlier) == 60
    expect(page.locator("figcaption")).to_contain_text(f"at {earlier}")
    page.get_by_label("Time of the map").press("ArrowLeft")
    page.get_by_role("button", name="Show", exact=True).click()
    expect(time).not_to_have_text(earlier)
    shown = time.inner_text()
    assert _minutes(earlier, since=shown) == 10
    expect(page.locator("figcaption")).to_contain_text(f"at {shown}")


def test_the_slider_changes_the_map_without_leaving_the_page(open_page: Open) -> None:
    page = open_page(VILLAGE)
    newest, address = page.locator("figcaption .title").inner_text(), page.url
    slider = page.get_by_label("Time of the map")
    for _ in range(6):
        slider.press("ArrowLeft")
    earlier = slider.get_attribute("aria-valuetext") or ""
    expect(page.locator("figcaption .title")).to_contain_text(earlier.split()[-1])
    expect(page.locator("figcaption .title")).not_to_have_text(newest)
    assert page.url == address


def _minutes(later: str, *, since: str) -> int:
    """Between two times of a clock, as 13:50, across midnight too."""
    hours, minutes = (int(a) - int(b) for a, b in zip(later.split(":"), since.split(":"), strict=True))
    return (60 * hours + minutes) % 1440
