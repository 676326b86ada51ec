"""What people do again and again: ask somebody in, join, read a letter."""

import re

from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.village import STEWARD, Account
from tests.services import LiveHub

BY_ITSELF = 60_000
"""[ms] A page that waits for reports asks ever more seldom, at last once a minute."""


def invitation(steward: Page, household: str) -> str:
    """The link that a steward makes for a new household."""
    steward.goto("/my/invite/")
    steward.get_by_label("Or into a new household").fill(household)
    steward.get_by_role("button", name="Make the link").click()
    return steward.locator("code.key").inner_text()


def join(page: Page, account: Account, household: str, email: str = "") -> None:
    """Open an account on the page that an invitation's link leads to."""
    expect(page.get_by_role("heading", name=f"Join {household}")).to_be_visible()
    page.get_by_label("Name to sign in with").fill(account.name)
    if email:
        page.get_by_label("E-mail").fill(email)
    page.get_by_label("Password", exact=True).fill(account.password)
    page.get_by_label("The password once more").fill(account.password)
    page.get_by_role("button", name="Join").click()
    expect(page.get_by_role("status")).to_contain_text(f"Welcome to {household}")


def neighbour(open_page: Open, name: str, household: str) -> Page:
    """Somebody new, who has registered a station of their household's name and said where it stands."""
    page = open_page(invitation(open_page("/my/invite/", STEWARD), household), width=390)
    join(page, Account(name, "hedge and gate and path"), household, f"{name}@example.org")
    page.get_by_role("link", name="Register a station").click()
    page.get_by_label("What is the station called?").fill(household)
    page.get_by_role("button", name="Keep it and go on").click()
    page.get_by_label("Latitude").fill("47,3105")  # as people write it
    page.get_by_label("Longitude").fill("8,9121")
    page.get_by_label("Elevation of the ground").fill("470,5")
    page.get_by_role("button", name="Keep it and go on").click()
    expect(page.get_by_role("heading", name="What does it measure?")).to_be_visible()
    return page


def letter(hub: LiveHub, to: str, about: str) -> str:
    """The address in the newest letter to somebody."""
    sent = sorted((hub.data / "mail").iterdir(), key=lambda one: one.stat().st_mtime)
    texts = [one.read_text() for one in sent if f"To: {to}\n" in one.read_text()]
    found = re.search(rf"{re.escape(hub.url)}/{about}/\S+", texts[-1])
    assert found, texts[-1]
    return found[0]
