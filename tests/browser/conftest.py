"""A real hub with a small village, and real browsers in front of it that complain of whatever goes amiss."""

import subprocess
import sys
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, StorageState, expect, sync_playwright

from tests.browser import pages
from tests.browser.village import KEEPER, STEWARD, Account
from tests.services import ROOT, LiveHub, hub_environment, live_hub

QUIET = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
QUIET += ["--disable-component-update", "--disable-sync"]

Open = Callable[..., Page]

PATIENCE = 60_000  # [ms] for what will be there in the end, on a machine that has other things to do
expect.set_options(timeout=PATIENCE)


@pytest.fixture(scope="session")
def hub(chromium: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHub]:
    """The site as it runs in earnest, with the village in its database and its worker inside."""
    data = tmp_path_factory.mktemp("hub")
    env = hub_environment(data, None, None, {"DJANGO_SETTINGS_MODULE": "network.settings"})
    subprocess.run([sys.executable, "-m", "tests.browser.village"], check=True, cwd=ROOT, env=env)
    with live_hub(data=data) as running:
        yield running


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Browser]:
    """One Chromium for the session; each page gets a context of its own."""
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=QUIET)
        yield started
        started.close()


@pytest.fixture(scope="session")
def signed_in(hub: LiveHub, browser: Browser) -> dict[Account, StorageState]:
    """What a browser remembers of those who signed in through the form."""
    return {account: sign_in(browser, hub.url, account) for account in (STEWARD, KEEPER)}


def sign_in(browser: Browser, url: str, account: Account) -> StorageState:
    """Sign in through the form; returns what the browser remembers of it."""
    context = browser.new_context(base_url=url)
    page = context.new_page()
    page.goto("/sign-in/")
    page.get_by_label("Name", exact=True).fill(account.name)
    page.get_by_label("Password", exact=True).fill(account.password)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/my/")
    remembered = context.storage_state()
    context.close()
    return remembered


@pytest.fixture(scope="session")
def addresses(hub: LiveHub, browser: Browser, signed_in: dict[Account, StorageState]) -> dict[str, str]:
    """Where each of the pages is, by its name."""
    context = browser.new_context(base_url=hub.url, storage_state=signed_in[STEWARD])
    found = pages.addresses(context.new_page())
    context.close()
    return found


@pytest.fixture(scope="session")
def readers_pages(
    hub: LiveHub, browser: Browser, signed_in: dict[Account, StorageState]
) -> tuple[dict[Account | None, Page], list[str]]:
    """A page for each reader that stays open, and a list of what goes amiss on any of them."""
    amiss: list[str] = []
    pages = {}
    for reader in (None, *signed_in):
        pages[reader] = browser.new_page(base_url=hub.url, storage_state=reader and signed_in[reader])
        _listen(pages[reader], hub.url, amiss)
    return pages, amiss


@pytest.fixture
def turn_to(readers_pages: tuple[dict[Account | None, Page], list[str]]) -> Iterator[Open]:
    """Open an address on the page that stays open for its reader: quicker where every page has its turn."""
    pages, amiss = readers_pages
    amiss.clear()

    def turned(address: str, reader: Account | None = None, *, width: int = 1280) -> Page:
        page = pages[reader]
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme="light")
        answer = page.goto(address)
        assert answer is not None and answer.status == 200, f"{address} answered {answer and answer.status}"
        return page

    yield turned
    assert not amiss, "\n".join(amiss)


@pytest.fixture
def open_page(hub: LiveHub, browser: Browser, signed_in: dict[Account, StorageState]) -> Iterator[Open]:
    """Open an address as somebody in a fresh context; at the end nothing may have gone amiss in any of them."""
    amiss: list[str] = []
    contexts = []

    def opened(address: str, reader: Account | None = None, *, width: int = 1280, **options: Any) -> Page:
        context = browser.new_context(
            base_url=hub.url,
            storage_state=signed_in[reader] if reader else None,
            viewport={"width": width, "height": 900},
            **options,
        )
        context.set_default_timeout(PATIENCE)
        contexts.append(context)
        page = context.new_page()
        _listen(page, hub.url, amiss)
        answer = page.goto(address)
        assert answer is not None and answer.status == 200, f"{address} answered {answer and answer.status}"
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not amiss, "\n".join(amiss)


def _listen(page: Page, home: str, amiss: list[str]) -> None:
    """Note errors of scripts, what the Content-Security-Policy refused, and requests that leave the hub."""
    page.on("console", lambda said: said.type == "error" and amiss.append(f"{page.url}: {said.text}"))
    page.on("pageerror", lambda error: amiss.append(f"{page.url}: {error}"))
    page.on("request", lambda asked: _stays(asked.url, home) or amiss.append(f"{page.url} asks {asked.url}"))


def _stays(address: str, home: str) -> bool:
    return address.startswith((f"{home}/", "data:", "blob:"))
