"""What every page is held to: its screen, targets large enough, both themes, and WCAG 2.2 at levels A and AA."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

EVERY_RULE = {
    "resultTypes": ["violations"],
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]},
    "rules": {"target-size": {"enabled": True}},  # of level AA in 2.2, but left out unless asked for by name
}
RULES_OF_COLOUR = {
    "resultTypes": ["violations"],
    "runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]},
}
"""What night can change: nothing but colours differ between the themes."""

TOO_LOW_TO_TOUCH = """() => [...document.querySelectorAll("main :is(button, select, input[type=text])")]
    .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 43.5)
    .map((one) => one.outerHTML.slice(0, 120))"""

_axe = Axe()


def keeps_the_rules(page: Page) -> None:
    """Hold the page as it stands to all of it, on a phone and a desk, by day and by night."""
    for width in (390, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme="light")
        assert page.evaluate("document.documentElement.scrollWidth") == width
        assert not (small := page.evaluate(TOO_LOW_TO_TOUCH)), f"Under 44 pixels high: {small}"
        assert _lightness(page, "backgroundColor") > _lightness(page, "color")
        assert not (found := violations(page)), found
        page.emulate_media(color_scheme="dark")
        assert _lightness(page, "backgroundColor") < _lightness(page, "color")
        assert not (found := violations(page, RULES_OF_COLOUR)), found


def violations(page: Page, rules: dict[str, object] = EVERY_RULE) -> str:
    """A report of each rule that the page breaks as it stands; empty where it breaks none."""
    found = _axe.run(page, options=rules)
    return found.generate_report() if found.violations_count else ""


def _lightness(page: Page, of: str) -> float:
    colour = page.evaluate(f"getComputedStyle(document.documentElement).{of}")
    return sum(float(part) for part in colour.removeprefix("rgb(").removesuffix(")").split(","))
