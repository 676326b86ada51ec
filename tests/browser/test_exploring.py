"""Figures to explore: drawn by the library that is installed, and fetched from nowhere else."""

from playwright.sync_api import expect

from tests.browser.conftest import Open

LIBRARY = "/static/plotly/plotly.min.js"


def test_the_village_is_explored_with_the_library_that_is_installed(
    addresses: dict[str, str], open_page: Open
) -> None:
    page = open_page("/sign-in/")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(addresses["explore"])
    expect(page.locator(".interactive .main-svg .contourlines").first).to_be_attached()
    expect(page.locator(".interactive .heatmaplayer image")).to_be_attached()
    assert [address for address in asked if address.endswith(LIBRARY)]


def test_a_station_s_chart_is_explored_only_when_somebody_asks(
    addresses: dict[str, str], open_page: Open
) -> None:
    page = open_page("/sign-in/")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(addresses["station"])
    page.wait_for_load_state("networkidle")
    assert not [address for address in asked if address.endswith(LIBRARY)]
    page.get_by_role("button", name="explore air temperature").click()
    expect(page.locator(".interactive .scatterlayer .trace").first).to_be_attached()
