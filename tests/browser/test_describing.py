"""A keeper describes surroundings, calibrates and adds a photo, by keyboard, and sees at once what it comes to."""

from io import BytesIO

from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.pages import MINE, number_of
from tests.browser.village import KEEPER, TOO_WARM, VILLAGE


def test_surroundings_are_answered_by_keyboard_and_the_class_follows_at_once(open_page: Open) -> None:
    page = open_page("/my/", KEEPER, width=390)
    page.goto(f"{_mine(page)}siting/air_temperature/ground/")
    comes_to = page.locator("#worked-out")
    page.get_by_role("radio", name="Short grass").focus()
    page.keyboard.press("Space")
    expect(comes_to).to_contain_text("Nothing speaks against it so far")
    page.keyboard.press("ArrowDown")
    expect(comes_to).to_contain_text("Class 3 of 5 at best, so far")
    expect(comes_to).to_contain_text("What would gain most: Keep the grass around it below 10 cm")
    page.keyboard.press("Enter")
    page.wait_for_url("**/slope/")  # the answer is kept and the next question follows
    page.go_back()
    expect(page.get_by_role("radio", name="Grass up to 25 cm")).to_be_checked()


def test_the_eight_directions_are_drawn_as_they_are_typed(open_page: Open) -> None:
    page = open_page("/my/", KEEPER)
    page.goto(f"{_mine(page)}siting/rain_amount/around/")
    page.get_by_label("Distance in the south [m]").fill("4")
    page.get_by_label("Height in the south [m]").fill("6")
    expect(page.locator("#worked-out svg .standing")).to_have_count(1)
    expect(page.locator("#worked-out")).to_contain_text("Class 4 of 5 at best")


def test_the_last_day_is_recomputed_while_figures_are_typed_and_kept_with_a_key(open_page: Open) -> None:
    page = open_page("/my/", KEEPER)
    page.goto(f"{_mine(page)}instruments/")
    thermometer = page.locator(".fitted", has_text="sent as t in")
    thermometer.get_by_role("link", name="Calibrate it").click()
    page.get_by_role("link", name="Find the figures at the bench").click()
    page.get_by_role("link", name="Compare it with something better").click()
    page.wait_for_load_state()  # only then does the page answer while one types
    page.get_by_label("What it said, and what was true").fill("0.6 0.0")
    expect(page.locator("#found")).to_contain_text("All readings become 0.6 °C lower")
    expect(page.locator("#found svg .line")).to_have_count(2)
    keep = page.get_by_role("button", name="Keep it from now on")
    keep.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("compared: 0.6 was 0 °C")).to_be_visible()


def test_a_photo_is_added_shown_to_others_and_taken_away(open_page: Open) -> None:
    page = open_page("/my/", KEEPER)
    page.goto(f"{_mine(page)}photos/")
    written = BytesIO()
    Image.new("RGB", (640, 480), "grey").save(written, "PNG")
    picture = {"name": "garden.png", "mimeType": "image/png", "buffer": written.getvalue()}
    page.get_by_label("The photo").set_input_files([picture])
    page.get_by_label("What is on it?").fill("The screen and the house")
    page.get_by_role("button", name="Add it").click()
    shown = page.get_by_role("img", name="The screen and the house")
    expect(shown).to_be_visible()
    expect(shown).to_have_js_property("naturalWidth", 640)
    page.get_by_role("button", name="Take it away").click()
    expect(shown).to_have_count(0)


def _mine(page: Page) -> str:
    """Where the keeper's station is described."""
    page.goto(VILLAGE)
    return MINE.format(number_of(page, TOO_WARM))
