"""All controls are reached with Tab, and one sees where one is."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.pages import PAGES

PARTS_OF_A_DATE = 6
"""A field for date and time takes as many steps more."""

WORKED_IN = ("front", "two days of maps", "desk", "case", "place", "eight directions", "at the bench")


@pytest.mark.parametrize("name", WORKED_IN)
def test_tab_reaches_every_control_with_visible_focus(
    name: str, addresses: dict[str, str], open_page: Open
) -> None:
    page = open_page(addresses[name], PAGES[name][1])
    # By then what a script puts in place of the server's picture is there.
    page.wait_for_load_state("networkidle")
    controls = page.evaluate(CONTROLS)
    assert controls > 5
    seen: set[str] = set()
    dates = page.locator("input[type=datetime-local]").count()
    for _ in range(controls + PARTS_OF_A_DATE * dates):
        if len(seen) == controls:
            break
        page.keyboard.press("Tab")
        seen.add(page.evaluate("document.activeElement.dataset.control"))
        assert page.evaluate(SHOWS_FOCUS), page.evaluate("document.activeElement.outerHTML")[:200]
    assert len(seen) == controls


def test_the_first_tab_offers_to_skip_to_the_content(open_page: Open) -> None:
    page: Page = open_page("/")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the content")).to_be_in_viewport()
    page.keyboard.press("Enter")
    page.wait_for_url("**#content")


CONTROLS = """() => {
  const groups = new Set();
  const meant = [...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")]
    .filter((one) => one.type !== "hidden" && one.tabIndex === 0 && one.checkVisibility())
    .filter((one) => one.type !== "radio" || (!groups.has(one.name) && groups.add(one.name)));
  meant.forEach((one, number) => (one.dataset.control = one.type === "radio" ? one.name : number));
  for (const one of document.querySelectorAll("input[type=radio]")) one.dataset.control = one.name;
  return meant.length;
}"""
"""Numbers what Tab should reach and counts it; radio buttons of one name are a single stop."""

SHOWS_FOCUS = """() => {
  const style = getComputedStyle(document.activeElement);
  return document.activeElement !== document.body && style.outlineStyle !== "none"
    && parseFloat(style.outlineWidth) >= 2;
}"""
