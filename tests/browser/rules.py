"""What the accessibility checker finds on a page by the rules of WCAG 2.2, levels A and AA."""

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

_axe = Axe()


def violations(page: Page, rules: dict[str, object] = EVERY_RULE) -> str:
    """A report of each rule that the page breaks as it stands; empty where it breaks none."""
    found = _axe.run(page, options=rules)
    return found.generate_report() if found.violations_count else ""
