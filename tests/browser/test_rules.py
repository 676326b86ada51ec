"""The checker is awake: it names what is plainly wrong, and has nothing against what is plainly right."""

from playwright.sync_api import Browser

from tests.browser.rules import RULES_OF_COLOUR, violations

# Each fault is the failure that WCAG 2.2 itself describes: 1.1.1 (F65), 1.4.3 (under 4.5 to 1), 2.5.8 (under 24 pixels).
WRONG = """<!doctype html><html lang="en"><title>Wrong</title><body><main>
<img src="data:image/gif;base64,R0lGODlhAQABAAAAACwAAAAAAQABAAA="><p style="color:#ccc;background:#fff">Pale</p>
<button style="width:10px;height:10px;padding:0">a</button><button style="width:10px;height:10px;padding:0">b</button>
</main></html>"""
RIGHT = "<!doctype html><html lang='en'><title>Right</title><body><main><p>Words.</p></main></html>"


def test_the_checker_names_what_is_plainly_wrong(browser: Browser) -> None:
    page = browser.new_page()
    page.set_content(WRONG)
    found = violations(page)
    for rule in ("image-alt", "color-contrast", "target-size"):
        assert f"Rule Violated:\n{rule} - " in found, found
    assert "image-alt" not in violations(page, RULES_OF_COLOUR)
    page.set_content(RIGHT)
    assert violations(page) == ""
    page.close()
