"""What the front page weighs on the wire, and that its words need no script."""

from playwright.sync_api import Browser

from tests.browser.conftest import PATIENCE, Open
from tests.browser.village import VILLAGE
from tests.services import LiveHub

HEAVIEST = 150_000
"""Bytes on the wire, headers and all, that the front page may take."""


def test_the_front_page_takes_at_most_150_kilobytes_and_no_charting_library(
    hub: LiveHub, browser: Browser
) -> None:
    context = browser.new_context(base_url=hub.url)
    page = context.new_page()
    wire = context.new_cdp_session(page)
    wire.send("Network.enable")
    names: dict[str, str] = {}
    weights: dict[str, float] = {}
    wire.on(
        "Network.requestWillBeSent", lambda told: names.update({told["requestId"]: told["request"]["url"]})
    )
    wire.on(
        "Network.loadingFinished",
        lambda told: weights.update({names[told["requestId"]]: told["encodedDataLength"]}),
    )
    page.goto(VILLAGE)
    page.wait_for_load_state("networkidle")
    for _ in range(PATIENCE // 100):
        if len(weights) == len(names):
            break
        page.wait_for_timeout(100)  # that a request has ended is told a little after
    context.close()
    assert len(weights) == len(names) > 3
    assert not [address for address in weights if "plotly" in address]
    assert sum(weights.values()) <= HEAVIEST, weights


def test_the_first_paint_waits_for_no_script(open_page: Open) -> None:
    page = open_page(VILLAGE)
    assert page.locator("script[src]").count()
    assert not page.locator("script[src]:not([defer], [async], [type=module])").count()


def test_without_javascript_the_front_page_says_the_same_words(open_page: Open) -> None:
    before, plain, after = (
        open_page(VILLAGE, java_script_enabled=on).locator("main").inner_text().split("\n")
        for on in (True, False, True)  # the village may say something new in between, but hardly twice
    )
    needless = "Show"  # the button of the slider, which a script saves
    assert [line for line in plain if line != needless] in (before, after)
