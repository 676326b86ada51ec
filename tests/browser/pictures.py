"""Pictures of every page in both sizes and themes, to be looked at: python -m tests.browser.pictures [PAGE ...]

They go to build/pictures/<page>-<width>-<theme>.png, with an index.html that shows them side by side.
"""

import subprocess
import sys
import tempfile
from collections.abc import Iterable
from html import escape
from itertools import product
from pathlib import Path

from playwright.sync_api import Page, sync_playwright
from tqdm import tqdm

from tests.browser.conftest import QUIET, sign_in
from tests.browser.pages import PAGES, addresses
from tests.browser.village import KEEPER, STEWARD
from tests.services import ROOT, chromium, hub_environment, live_hub

FOLDER = ROOT / "build" / "pictures"
HOURS = 9 * 24
"""Long enough for a week's chart, maps that have learnt, and days to look back on."""

WIDTHS, THEMES = (1280, 390), ("light", "dark")

INDEX = """<!doctype html>
<html lang="en-GB"><meta charset="utf-8"><title>Every page</title>
<style>
body { font: 1rem/1.5 serif; margin: 2rem; background: #bbb; color: #000 }
section { display: flex; flex-wrap: wrap; gap: 1rem; align-items: flex-start }
h2 { margin: 2rem 0 0.5rem; font-size: 1.25rem } small { font-weight: 400 }
[src*="-1280-"] { width: 32rem } [src*="-390-"] { width: 10rem }
</style>
<h1>Every page</h1>
"""


def main(*asked: str) -> None:
    """Take them all, or those of the pages asked for, from a village made for it."""
    if strangers := set(asked) - set(PAGES):
        sys.exit(f"There is no page called {', '.join(sorted(strangers))}. There are: {', '.join(PAGES)}.")
    names = asked or tuple(PAGES)
    FOLDER.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="hub-pictures-") as folder:
        data = Path(folder)
        env = hub_environment(data, None, None, {"DJANGO_SETTINGS_MODULE": "network.settings"})
        print("Making the village", flush=True)
        subprocess.run(
            [sys.executable, "-m", "tests.browser.village", f"{HOURS}"], check=True, cwd=ROOT, env=env
        )
        with live_hub(data=data) as hub:
            found = _take(hub.url, names)
    index = FOLDER / "index.html"
    index.write_text(INDEX + "".join(_shown(name, found[name]) for name in names))
    print(f"Look at {index.relative_to(ROOT)}")


def _take(url: str, names: Iterable[str]) -> dict[str, str]:
    """Photograph the pages; returns the address of each."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=QUIET)
        readers = {
            reader: browser.new_page(base_url=url, storage_state=reader and sign_in(browser, url, reader))
            for reader in (None, KEEPER, STEWARD)
        }
        found = addresses(readers[STEWARD])
        for name in tqdm(names, unit="page"):
            _photograph(readers[PAGES[name][1]], name, found[name])
        browser.close()
    return found


def _photograph(page: Page, name: str, address: str) -> None:
    for width, theme in product(WIDTHS, THEMES):
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme=theme)
        page.goto(address)
        page.evaluate("for (const one of document.images) one.loading = 'eager'")
        page.wait_for_load_state("networkidle")
        page.screenshot(path=FOLDER / _file(name, width, theme), full_page=True)


def _file(name: str, width: int, theme: str) -> str:
    return f"{name.replace(',', '').replace(' ', '-').lower()}-{width}-{theme}.png"


def _shown(name: str, address: str) -> str:
    files = [_file(name, width, theme) for width, theme in product(WIDTHS, THEMES)]
    pictures = "".join(
        f'<a href="{file}"><img src="{file}" alt="{file}" loading="lazy"></a>\n' for file in files
    )
    return f"<h2>{escape(name)} <small>{escape(address)}</small></h2>\n<section>\n{pictures}</section>\n"


if __name__ == "__main__":
    main(*sys.argv[1:])
