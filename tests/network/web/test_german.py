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

from network.pipeline.settle import settle
from network.quality.checks import CHECKS, catch, clock, wind_by_direction
from network.quality.hypotheses import HYPOTHESES, hypotheses
from network.science.climate import Told
from network.science.siting import FAMILIES, Obstacle, Surroundings, family_of
from network.science.variables import VARIABLES
from network.web.phrases import phrase
from network.web.reader import CHOICES, COOKIE, TRANSLATED, Reader
from network.web.record import sentences as record
from network.web.record.sentences import Known
from network.web.sentences import Gauge, Seen, rain, sentences
from tests.network.made_village import Report, deliver, found_village, settle_station
from tests.services import lacking

HOUSE = Path(__file__).parents[3]
WORDS = HOUSE / "network" / "locale" / "de" / "LC_MESSAGES"
LOWER = HOUSE / "network" / "science" / "locale" / "de" / "LC_MESSAGES"
CATALOGUES = pytest.mark.parametrize("folder", [WORDS, LOWER])
PLACEHOLDER = re.compile(r"\{\w*\}|%\(\w+\)s")
AT = datetime(2026, 11, 25, 14, 20, tzinfo=ZoneInfo("Europe/Zurich"))


def entries(folder: Path = WORDS) -> Iterator[dict[str, str]]:
    """A catalogue's entries, each by its keywords."""
    text = (folder / "django.po").read_text()
    assert "fuzzy" not in text
    for block in text.split("\n\n")[1:]:
        entry: dict[str, str] = {}
        for keyword, text in re.findall(r'^(msg\w+(?:\[\d\])?) ((?:".*"\n?)+)', block, re.MULTILINE):
            entry[keyword] = "".join(ast.literal_eval(line) for line in text.strip().split("\n"))
        if entry:
            yield entry


@CATALOGUES
def test_every_message_is_translated_and_keeps_its_placeholders(folder: Path) -> None:
    for entry in entries(folder):
        several = entry.get("msgid_plural", entry["msgid"])
        pairs = [
            (entry["msgid"] if keyword in ("msgstr", "msgstr[0]") else several, text)
            for keyword, text in entry.items()
            if keyword.startswith("msgstr")
        ]
        for said, text in pairs:
            assert text, said
            assert set(PLACEHOLDER.findall(text)) == set(PLACEHOLDER.findall(said)), said


@CATALOGUES
def test_what_is_compiled_is_what_is_written(folder: Path) -> None:
    with (folder / "django.mo").open("rb") as file:
        compiled = gettext.GNUTranslations(file)
    plain = [one for one in entries(folder) if "msgid_plural" not in one and "msgctxt" not in one]
    assert plain and all(compiled.gettext(one["msgid"]) == one["msgstr"] for one in plain)
    for one in entries(folder):
        if "msgid_plural" in one and "msgctxt" not in one:
            assert compiled.ngettext(one["msgid"], one["msgid_plural"], 2) == one["msgstr[1]"]


def test_no_message_of_the_code_is_missing_from_the_catalogue() -> None:
    if shutil.which("xgettext") is None:
        lacking("xgettext", package="gettext")
    code = sorted(str(path) for path in (HOUSE / "network" / "web").rglob("*.py"))
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


def test_every_check_speaks_german() -> None:
    told = {one["msgid"] for folder in (LOWER, WORDS) for one in entries(folder)}
    wanted = {
        words
        for check in CHECKS.values()
        for words in (check.meaning, check.advice, check.needs, check.source)
    }
    assert not (wanted | {name.replace("_", " ") for name in CHECKS}) - told


HINTS = {
    *(clock.in_words(minutes * 60.0, 60.0) for minutes in (-95, -60, -20, 20, 60, 95)),
    clock.in_words(1200.0, 60.0, 900.0),
    *wind_by_direction.ARCS,
    *catch.SHARES.values(),
    catch.ALONE,
    *(one.words() for variable in HYPOTHESES for one in hypotheses(variable)),
    *(entry.words for entry in VARIABLES.values()),
}


@pytest.mark.parametrize("hint", sorted(HINTS))
def test_what_a_check_suspects_is_told_in_german(hint: str) -> None:
    with translation.override("de"):
        assert phrase(hint) != hint


AROUND = tuple(Obstacle(side, 4.0, 9.0, grows) for side, grows in (("north", True), ("east", False)))


@pytest.mark.parametrize("variable", ["air_temperature", "rain_amount", "wind_speed", "irradiance"])
@pytest.mark.parametrize("obstacle", AROUND)
def test_what_would_better_a_siting_is_told_in_german(variable: str, obstacle: Obstacle) -> None:
    here = Surroundings(
        47.3, height=2.0, slope=25.0, growth=0.3, warm={"a wall": 4.0}, obstacles=(obstacle,), bright=3,
        gauge_shelter="none", roughness=0.5, narrow=5.0,
    )  # fmt: skip
    offered = [change.words for change in FAMILIES[family_of(variable)].changes(here)]
    with translation.override("de"):
        assert offered and not [words for words in offered if phrase(words) == words]


def test_a_keepers_own_words_are_left_as_they_are() -> None:
    with translation.override("de"):
        assert phrase("Behind grandmother's shed, 2.5 m up") == "Behind grandmother's shed, 2,5 m up"


TOLD = (
    "network/*station*.html", "network/_channels.html", "network/_reading.html", "network/_s*.html",
    "network/*map*", "network/*gate.html", "network/_ground.svg", "network/front.html", "network/_day.html",
    "network/_table.html", "network/*record*.html", "network/chart.html", "network/data_sheet.html",
    "network/training.html", "network/reading.html", "network/*compare*.html",
    "network/explore.html", "network/checking.html", "network/sending.html", "network/villages.html", "*0?.html", "403_csrf.html",
    "stations/_program.html", "base.html", "_nav.html",
)  # fmt: skip
NOT_TOLD = {"desk_station.html", "_sketch_curl.html"}
FORMATS = {"CSV", "Parquet", "CF", "netCDF", "CRPS", "JSON", "SenML", "RFC"}


@pytest.mark.parametrize(
    "template",
    sorted(path for told in TOLD for path in (HOUSE / "templates").glob(told) if path.name not in NOT_TOLD),
    ids=lambda path: path.name,
)
def test_no_word_of_a_translated_template_stands_outside_the_catalogue(template: Path) -> None:
    assert not untranslated(template.read_text()) - FORMATS


def untranslated(template: str) -> set[str]:
    """Words that a template shows as they stand, in its text and in what is read aloud."""
    text = re.sub(
        r"(?s)\{#.*?#\}|<(code|pre)\b.*?</\1>|\{% blocktrans.*?\{% endblocktrans %\}|\{%.*?%\}|\{\{.*?\}\}|&\w+;",
        " ",
        template,
    )
    aloud = re.findall(r'(?:aria-label|alt|title|placeholder)="([^"]*)"', text)
    return set(re.findall(r"[^\W\d_]{2,}", " ".join([re.sub(r"(?s)<[^>]*>", " ", text), *aloud])))


def test_the_station_page_is_told_in_german_on_a_clock_of_twelve_hours(db: None) -> None:
    station = settle_station(found_village(), "Mühle", ("air_temperature", "relative_humidity"))
    evening = datetime(2025, 6, 1, 20, tzinfo=ZoneInfo("Europe/Zurich"))
    said = tuple({"time": int(evening.timestamp()) - 300 * ago, "t": 7.2, "rh": 88.0} for ago in range(6))
    deliver([Report(station.pk, said)])
    settle()
    client = Client()
    client.cookies[COOKIE] = Reader(language="de", clock="12", temperature="f").cookie()
    address = f"/little-aldenbrook/stations/{station.pk}/?at=2025-06-01T20:01"
    page = client.get(address).content.decode().replace("\N{NO-BREAK SPACE}", " ")
    # 7.2 °C is 44.96 °F by definition.
    assert '<html lang="de">' in page and "Es waren 45,0 °F bei 88 % Feuchte" in page
    assert "8:00 pm" in page and ">20:00<" not in page
