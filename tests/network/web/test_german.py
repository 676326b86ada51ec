"""German, to prove that a language can be added: nothing left out, no placeholder lost, whole pages in it."""

import ast
import gettext
import re
import shutil
import subprocess
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.utils import translation

from network.science.climate import Told
from network.web.reader import CHOICES, COOKIE, TRANSLATED, Reader
from network.web.record import sentences as record
from network.web.record.sentences import Known
from network.web.sentences import Gauge, Seen, rain, sentences
from tests.network.made_village import found_village

WORDS = Path(__file__).parents[3] / "network" / "locale" / "de" / "LC_MESSAGES"
PLACEHOLDER = re.compile(r"\{\w*\}|%\(\w+\)s")
AT = datetime(2026, 11, 25, 14, 20, tzinfo=ZoneInfo("Europe/Zurich"))


def entries() -> Iterator[dict[str, str]]:
    """The catalogue's entries, each by its keywords."""
    for block in (WORDS / "django.po").read_text().split("\n\n")[1:]:
        entry: dict[str, str] = {}
        for keyword, text in re.findall(r'^(msg\w+(?:\[\d\])?) ((?:".*"\n?)+)', block, re.MULTILINE):
            entry[keyword] = "".join(ast.literal_eval(line) for line in text.strip().split("\n"))
        if entry:
            yield entry


def test_every_message_is_translated_and_keeps_its_placeholders() -> None:
    for entry in entries():
        several = entry.get("msgid_plural", entry["msgid"])
        pairs = [
            (entry["msgid"] if keyword in ("msgstr", "msgstr[0]") else several, text)
            for keyword, text in entry.items()
            if keyword.startswith("msgstr")
        ]
        for said, text in pairs:
            assert text, said
            assert set(PLACEHOLDER.findall(text)) == set(PLACEHOLDER.findall(said)), said


def test_what_is_compiled_is_what_is_written() -> None:
    with (WORDS / "django.mo").open("rb") as file:
        compiled = gettext.GNUTranslations(file)
    plain = [one for one in entries() if "msgid_plural" not in one and "msgctxt" not in one]
    assert plain and all(compiled.gettext(one["msgid"]) == one["msgstr"] for one in plain)
    for one in entries():
        if "msgid_plural" in one and "msgctxt" not in one:
            assert compiled.ngettext(one["msgid"], one["msgid_plural"], 2) == one["msgstr[1]"]


@pytest.mark.skipif(shutil.which("xgettext") is None, reason="xgettext is not installed")
def test_no_message_of_the_code_is_missing_from_the_catalogue(tmp_path: Path) -> None:
    root = WORDS.parents[3]
    code = sorted(str(path) for path in (root / "network" / "web").rglob("*.py"))
    found = subprocess.run(
        ["xgettext", "-L", "Python", "-k_", "-kgettext_noop", "-kngettext:1,2", "-knpgettext:1c,2,3", "-o", "-", "--from-code=UTF-8", *code],
        check=True, capture_output=True, text=True,
    ).stdout  # fmt: skip
    known = {entry["msgid"] for entry in entries()}
    wanted = {
        ast.literal_eval(text) for text in re.findall(r'^msgid ("(?:[^"\\]|\\.)+")$', found, re.MULTILINE)
    }
    assert wanted and not wanted - known


def test_the_days_sentences_are_told_in_german() -> None:
    gauge = Gauge(lately=0.0, rate=0.0, today=3.2, last_wet=AT.replace(hour=9, minute=40))
    seen = Seen(
        at=AT, stations=3, temperatures={"Mühle": 7.2, "Anger": 7.0}, winds={"Mühle": (2.0, 225.0)},
        gauges={"Mühle": gauge, "Anger": gauge}, tendency=-1.0,
    )  # fmt: skip
    with translation.override("de"):
        text = " ".join(sentences(seen)).replace("\N{NO-BREAK SPACE}", " ")
    assert text == (
        "Im Dorf sind es 7 °C. Leichte Brise aus Südwest. Trocken seit 09:40; 3,2 mm seit Mitternacht."
        " Der Luftdruck fällt langsam."
    )


def test_in_no_language_is_a_wet_gauge_dry() -> None:
    wet = Gauge(lately=0.2, rate=2.4, today=0.2, last_wet=AT)
    with translation.override("de"):
        assert "rocken" not in rain(Seen(at=AT, temperatures={"Mühle": 9.0}, gauges={"Mühle": wet}))


def test_the_record_is_told_in_german() -> None:
    known = Known(
        span="November", kind="month", running=True, mean=Told(279.25, 24, 24, True), rain=Told(41.2, 570, 576, False),
        wet_days=Told(12.0, 24, 24, True), frost_days=Told(4.0, 24, 24, True), frost_hours=Told(0.0, 576, 576, True),
        before=("Oktober", 280.05),
    )  # fmt: skip
    with translation.override("de"):
        text = " ".join(record.sentences(known)).replace("\N{NO-BREAK SPACE}", " ")
    assert text == (
        "November bisher: im Mittel 6,1 °C, 0,8 °C kälter als Oktober. Mindestens 41,2 mm Regen, an 12 Tagen oder"
        " mehr; 6 von 576 Stunden fehlen. Frost an 4 Tagen."
    )


@pytest.mark.parametrize("path", ["/reading/", "/little-aldenbrook/", "/little-aldenbrook/record/2024/5/"])
def test_a_translated_page_says_so_and_greets_in_german(db: None, path: str) -> None:
    found_village()
    client = Client()
    client.cookies[COOKIE] = Reader(language="de").cookie()
    page = client.get(path).content.decode()
    assert '<html lang="de">' in page and "Zum Inhalt" in page and "Sign in" not in page


def test_every_language_on_offer_has_its_words() -> None:
    assert set(CHOICES["language"].values()) == {"en-gb", "de"} and "village" in TRANSLATED
