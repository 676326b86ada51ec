"""A device that is not understood, an instrument that cannot serve here, a program to take along, a question answered."""

import json
from urllib.error import HTTPError
from urllib.request import Request, urlopen

from playwright.sync_api import expect

from tests.browser.conftest import Open
from tests.browser.people import BY_ITSELF, neighbour
from tests.browser.village import KEEPER, STEWARD, TOO_WARM, VILLAGE
from tests.services import LiveHub


def test_an_instrument_that_cannot_serve_is_told_while_it_is_typed_and_a_report_in_the_keepers_own_words(
    hub: LiveHub, open_page: Open
) -> None:
    page = neighbour(open_page, "tess", "Tanner Row")
    page.get_by_role("link", name="relative humidity", exact=True).click()
    page.wait_for_load_state()  # only then does the page answer while one types
    page.get_by_label("Which name does the device send it by?").fill("hum")
    page.get_by_label("Highest value it can give").fill("90")
    expect(page.locator("#unfit")).to_contain_text("This one ends at 90 %")  # nights are damp everywhere
    page.get_by_label("Highest value it can give").fill("100")
    expect(page.locator("#unfit")).not_to_contain_text("This one ends")
    page.get_by_role("button", name="Keep it").click()
    page.get_by_role("link", name="How does it prove itself?").click()
    page.get_by_role("button", name="Make a key").click()
    key = page.locator(".notice code.key").inner_text()
    page.get_by_role("button", name="Copy it").click()
    expect(page.get_by_text("Copied.", exact=True)).to_be_visible()

    page.get_by_text("MicroPython", exact=True).click()
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save main.py, key and all").click()
    program = saved.value.path().read_text()
    assert f'KEY = "{key}"' in program
    assert f'ADDRESS = "{hub.url}/api/reports"' in program
    compile(program, saved.value.suggested_filename, "exec")

    page.get_by_role("link", name="On: Is it heard?").click()
    assert _sent(hub, key, {"humm": 71}) == 202
    expect(page.locator("#waiting")).to_contain_text("Did you mean hum", timeout=BY_ITSELF)
    assert _sent(hub, key, {"hum": "damp"}) == 400
    expect(page.locator("#arrived")).to_contain_text("'damp' is not a number", timeout=BY_ITSELF)
    page.get_by_role("button", name="Yes: take humm for the relative humidity").click()
    assert _sent(hub, key, {"humm": 72}) == 202
    expect(page.get_by_role("row", name="humm")).to_contain_text("72 %", timeout=BY_ITSELF)


def test_a_stewards_question_is_answered_by_keyboard_and_read_at_the_desk(open_page: Open) -> None:
    page = open_page("/my/notices/", KEEPER, width=390)
    page.get_by_role("link", name="Answer it").first.press("Enter")
    page.get_by_role("radio", name="Nothing was moved or changed").press("Space")
    page.get_by_role("textbox", name="In a sentence").press_sequentially("It hangs where it hung.")
    page.get_by_role("button", name="Send the answer").press("Enter")
    expect(page.get_by_text("It hangs where it hung.").first).to_be_visible()
    desk = open_page(f"{VILLAGE}desk/", STEWARD)
    desk.get_by_role("link", name=f"{TOO_WARM}, air temperature").first.click()
    expect(desk.locator("main")).to_contain_text("It hangs where it hung.")


def _sent(hub: LiveHub, key: str, said: dict[str, object]) -> int:
    """The status that a report gets."""
    headers = {"Authorization": f"Bearer {key}", "Content-Type": "application/json"}
    try:
        with urlopen(
            Request(f"{hub.url}/api/reports", json.dumps(said).encode(), headers), timeout=30
        ) as answer:
            return int(answer.status)
    except HTTPError as refused:
        return refused.code
