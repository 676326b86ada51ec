"""Read in one's own units, clock and language; looked back upon, printed, and taken away."""

import re

from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.village import VILLAGE


def test_a_reader_chooses_units_clock_and_language_and_every_page_follows(
    addresses: dict[str, str], open_page: Open
) -> None:
    page = open_page(VILLAGE)
    celsius = _first_degrees(page, "°C")
    page.get_by_role("link", name="Units, clock and language").click()
    for choice in ("degrees Fahrenheit", "12 hours", "Deutsch"):
        page.get_by_role("radio", name=choice).first.check()
    page.get_by_role("button", name="Keep this").click()
    page.wait_for_url(f"**{VILLAGE}")
    expect(page.locator("html")).to_have_attribute("lang", re.compile("de"))
    # NIST SP 811, B.8; whole figures leave half a degree of each scale.
    assert abs(_first_degrees(page, "°F") - (32 + 1.8 * celsius)) <= 1.4
    page.goto(addresses["station"])
    expect(page.locator("main")).to_contain_text("°F")
    told, diary, _ = (page.locator("main").text_content() or "").partition("Tagebuch")
    assert diary and "°C" not in told  # in the diary stand the keeper's own words


def test_a_month_is_printed_as_a_page_of_words_and_figures(
    addresses: dict[str, str], open_page: Open
) -> None:
    page = open_page(addresses["month of a station"])
    page.emulate_media(media="print")
    expect(page.get_by_role("table").first).to_be_visible()
    expect(page.locator(".masthead")).to_be_hidden()
    assert page.pdf(format="A4").startswith(b"%PDF")


def test_readings_are_taken_away_in_each_format(addresses: dict[str, str], open_page: Open) -> None:
    page = open_page(addresses["month of a station"])
    # A Parquet file begins with PAR1, a netCDF-4 file is HDF5.
    for name, begins in (("CSV", b""), ("Parquet", b"PAR1"), ("netCDF", b"\x89HDF")):
        with page.expect_download() as saved:
            page.get_by_role("link", name=re.compile(name)).first.click()
        assert saved.value.path().read_bytes().startswith(begins)


def test_stations_are_chosen_and_laid_side_by_side(addresses: dict[str, str], open_page: Open) -> None:
    page = open_page(addresses["choosing stations"], width=390)
    for box in page.get_by_role("checkbox").all()[:2]:
        box.check()
    page.locator("main form button").first.click()
    expect(page.get_by_role("img", name="Air temperature at ")).to_be_visible()
    expect(page.get_by_role("heading", name=re.compile(" less "))).to_be_visible()


def _first_degrees(page: Page, sign: str) -> float:
    """The warmth that the village's first sentence tells."""
    found = re.search(rf"(−?\d+(?:[.,]\d)?)\s*{sign}", page.locator(".lede").first.inner_text())
    assert found, page.locator(".lede").first.inner_text()
    return float(found[1].replace("−", "-").replace(",", "."))
