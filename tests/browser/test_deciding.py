"""A falsehood reaches the steward, who decides by keyboard; what follows is seen, on record, and can be undone."""

from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Open
from tests.browser.pages import number_of
from tests.browser.village import LIES, STEWARD, TOO_WARM, VILLAGE

DISBELIEVED = f"{TOO_WARM} (temperature)"
"""As the village’s page says it: the thermometer, and nothing else of that station."""

WHY = "I stood beside it with a second one."


def test_a_steward_decides_a_case_by_keyboard_and_undoes_it_and_the_village_follows(open_page: Open) -> None:
    page = open_page(VILLAGE, STEWARD)
    expect(page.locator(".lede")).to_contain_text(DISBELIEVED)
    station = f"{VILLAGE}stations/{number_of(page, TOO_WARM)}/"

    page.goto(f"{VILLAGE}desk/")
    _case(page).press("Enter")
    _expect_the_evidence(page)
    page.keyboard.press("2")
    page.keyboard.type(WHY)
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text(f"Decided. {TOO_WARM}, air temperature")
    expect(page.get_by_role("link", name=f"{TOO_WARM}, air temperature")).to_have_count(0)  # nor as answered

    _expect_in_time(page, VILLAGE, believed=True)
    page.goto(station)
    header = page.get_by_role("rowheader", name="air temperature", exact=True)
    row = page.locator(".readings tr").filter(has=header)
    expect(row.locator(".verdict")).to_have_class("verdict good")

    page.goto(f"{VILLAGE}desk/trail/")
    step = page.get_by_role("article").first
    expect(step).to_contain_text(TOO_WARM)
    expect(step).to_contain_text(WHY)
    expect(step).to_contain_text(f"By {STEWARD.name}")

    step.get_by_role("button", name="Undo").press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Undone")
    expect(page.get_by_role("article").first).to_contain_text(f"Undone by {STEWARD.name}")
    _expect_in_time(page, VILLAGE, believed=False)
    page.goto(station)
    expect(row.locator(".verdict")).to_have_class("verdict wrong")
    page.goto(f"{VILLAGE}desk/")
    expect(_case(page)).to_be_visible()


def test_a_blank_is_filled_in_first_and_enter_in_it_shows_what_would_change(open_page: Open) -> None:
    page = open_page(f"{VILLAGE}desk/", STEWARD)
    _case(page).press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text(TOO_WARM)
    page.wait_for_load_state()  # only then does the page listen to keys
    page.keyboard.press("6")
    page.keyboard.press("Control+a")
    page.keyboard.type("-3")
    page.keyboard.press("Enter")
    expect(page.locator(".choice", has=page.locator("[value=calibrate]"))).to_contain_text(
        "the median departure goes"
    )
    page.wait_for_load_state()
    page.keyboard.press("6")
    expect(page.get_by_role("textbox", name="Why")).to_be_focused()


def test_keys_open_cases_walk_through_them_and_can_be_switched_off(open_page: Open) -> None:
    page = open_page(f"{VILLAGE}desk/", STEWARD)
    first = page.locator("[data-opens='1']").inner_text()
    page.keyboard.press("1")
    expect(page.get_by_role("heading", level=1)).to_have_text(first)
    page.wait_for_load_state()  # only then does the page listen to keys
    page.keyboard.press("n")
    expect(page.get_by_role("heading", level=1)).not_to_have_text(first)
    page.wait_for_load_state()
    page.keyboard.press("b")
    expect(page.get_by_role("heading", level=1)).to_have_text("Steward’s desk")
    page.get_by_role("checkbox", name="Single keys").uncheck()
    page.reload()
    page.keyboard.press("1")
    page.wait_for_timeout(300)
    expect(page.get_by_role("heading", level=1)).to_have_text("Steward’s desk")
    page.get_by_role("checkbox", name="Single keys").check()


def _case(page: Page) -> Locator:
    """What the checks doubt of the false thermometer; where its keeper has answered, another link leads there, too."""
    return page.locator("[data-opens]", has_text=f"{TOO_WARM}, air temperature")


def _expect_the_evidence(page: Page) -> None:
    """The sheet says how far off it is, draws it with its neighbours, and names the checks that spoke."""
    expect(page.get_by_role("img", name="Air temperature")).to_be_visible()
    departure = (
        page.get_by_role("table").filter(has_text="Observed minus").get_by_role("cell").first.inner_text()
    )
    assert abs(float(departure.split()[0]) - LIES[TOO_WARM][1]) < 3
    expect(page.get_by_role("heading", name="Departure neighbours")).to_be_visible()
    expect(page.get_by_role("radio", name="believe these readings")).to_be_visible()
    page.wait_for_load_state()  # only then does the page listen to keys


def _expect_in_time(page: Page, address: str, *, believed: bool) -> None:
    """Look again until the worker has looked."""
    for _ in range(40):
        page.goto(address)
        if (DISBELIEVED not in page.locator(".lede").inner_text()) == believed:
            return
        page.wait_for_timeout(500)
    raise AssertionError(f"The page still says: {page.locator('.lede').inner_text()}")
