"""Who belongs to a household: several keepers, leaving, handing over, one's data, and what is nobody else's business."""

import re

from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.pages import KEEPERS, MINE, STEWARDS
from tests.browser.people import join, letter, neighbour
from tests.browser.village import KEEPER, TOO_WARM, Account
from tests.services import LiveHub


def test_a_second_keeper_joins_by_letter_the_first_leaves_and_the_station_is_handed_over(
    hub: LiveHub, open_page: Open
) -> None:
    first = neighbour(open_page, "wilma", "Well Side")
    number = _number(first)
    _household(first)
    first.get_by_role("link", name="Ask somebody in").click()
    first.get_by_label("E-mail").fill("otto@example.org")
    first.get_by_role("button", name="Make the link").click()
    expect(first.get_by_text("It has been sent to otto@example.org")).to_be_visible()

    second = open_page(letter(hub, "otto@example.org", "join"))
    join(second, Account("otto", "well and rope and pail"), "Well Side")
    expect(second.get_by_role("heading", name="Well Side").first).to_be_visible()

    _household(first)
    first.get_by_role("link", name="Leave this household").press("Enter")
    first.get_by_role("button", name="Leave Well Side").press("Enter")
    expect(first.get_by_role("status")).to_contain_text("You have left Well Side")
    assert first.request.get(f"{MINE.format(number)}place/").status == 404

    _household(second)
    second.get_by_role("link", name="Hand over to another household").click()
    second.get_by_role("radio", name=TOO_WARM).check()
    second.get_by_role("button", name="Hand over").click()
    expect(second.get_by_role("status")).to_contain_text(f"Handed over to {TOO_WARM}")
    assert second.request.get(f"{MINE.format(number)}place/").status == 404
    taken = open_page(f"{MINE.format(number)}place/", KEEPER)
    expect(taken.get_by_label("Latitude")).to_have_value("47.31050")  # to the metre
    taken.goto("/my/notices/")
    expect(taken.locator("main")).to_contain_text("Well Side")


def test_a_forgotten_password_is_replaced_by_the_link_in_a_letter(hub: LiveHub, open_page: Open) -> None:
    neighbour(open_page, "fay", "Far End")
    page = open_page("/sign-in/")
    page.get_by_role("link", name="I have forgotten my password").click()
    page.get_by_label("E-mail").fill("fay@example")
    page.get_by_role("button", name="Send the link").click()
    expect(page.get_by_text("Write an address such as")).to_be_visible()
    expect(page.get_by_label("E-mail")).to_have_value("fay@example")
    page.get_by_label("E-mail").fill("fay@example.org")
    page.get_by_role("button", name="Send the link").click()
    expect(page.get_by_role("heading", name="Look in your e-mail")).to_be_visible()
    page.goto(letter(hub, "fay@example.org", "password"))
    page.get_by_label("New password", exact=True).fill("lane and wall and barn")
    page.get_by_label("The new password once more").fill("lane and wall and barn")
    page.get_by_role("button", name="Keep it").click()
    page.get_by_label("Name", exact=True).fill("fay")
    page.get_by_label("Password", exact=True).fill("lane and wall and barn")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Far End").first).to_be_visible()


def test_places_and_notes_are_deleted_and_the_account_closed_by_who_knows_the_password(
    open_page: Open,
) -> None:
    page = neighbour(open_page, "gwen", "Gate House")
    number = _number(page)
    _household(page)
    page.get_by_role("link", name="Have its places, photos and notes deleted").click()
    page.get_by_label("Your password").fill("hedge and gate and path")
    page.get_by_role("button", name="Delete them and retire the stations").click()
    expect(page.get_by_role("status")).to_contain_text("Deleted: the places, photos and notes of Gate House")
    page.goto(f"{MINE.format(number)}place/")
    expect(page.locator("main")).not_to_contain_text("47.31")

    page.goto("/my/account/")
    page.get_by_role("link", name="Close your account").click()
    page.get_by_label("Your password").fill("hedge and gate and path")
    page.get_by_role("button", name="Close my account").click()
    expect(page.get_by_text("Your account is closed")).to_be_visible()
    expect(page.get_by_role("link", name="Sign in")).to_be_visible()
    page.goto("/sign-in/")
    page.get_by_label("Name", exact=True).fill("gwen")
    page.get_by_label("Password", exact=True).fill("hedge and gate and path")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_text("do not belong together")).to_be_visible()


def test_what_is_a_keepers_or_a_stewards_is_neither_shown_nor_opened_to_anybody_else(
    addresses: dict[str, str], open_page: Open
) -> None:
    stranger, other = open_page("/"), neighbour(open_page, "nora", "Nut Tree")
    for name in (*KEEPERS, *STEWARDS):
        address = addresses[name].partition("?")[0]
        private = re.search(r"^/my/(stations|households|answers)/\d+/|/desk/|/reports/$", address)
        if not private:
            continue
        closed = stranger.request.get(address, max_redirects=0)
        assert closed.status == 404 or "/sign-in/" in closed.headers.get("location", ""), (
            name,
            closed.status,
        )
        assert other.request.get(address, max_redirects=0).status == 404, name
    for reader in (stranger, other):
        reader.goto(addresses["station"])
        shown = [link.get_attribute("href") or "" for link in reader.locator("main a").all()]
        assert not [link for link in shown if link.startswith("/my/stations/") or "/desk/" in link]


def _household(page: Page) -> None:
    page.goto("/my/")
    page.get_by_role("link", name="Who keeps it").click()


def _number(page: Page) -> str:
    """The number of the station that the page is about."""
    return page.url.split("/my/stations/")[1].split("/")[0]
