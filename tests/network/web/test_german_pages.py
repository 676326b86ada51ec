"""A reader of German follows every link of a village's pages: none is half in English."""

import html
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from urllib.parse import urljoin

import numpy as np
import pytest
from django.contrib.auth.models import User
from django.test import Client

from network.pipeline.settle import settle
from network.web.reader import COOKIE, Reader
from stations.models import Membership, Station
from tests.network.made_village import Report, deliver, make_village, observations

HIDDEN = re.compile(r"(?s)<(style|script|code|pre)\b.*?</\1>")
ALOUD = re.compile(r'(?:aria-label|alt|title|placeholder|data-trouble)="([^"]*)"')
LINK = re.compile(r'href="(/[^"#]*)')
ELSEWHERE = ("/static/", "/api/", "/admin/", "/sign-in/", "/password/", "/my/", "/little-aldenbrook/desk/")
"""Not pages, or pages that only speak English and say so."""

WORD = re.compile(r"[^\W\d_]{3,}")
SAME = {
    *("Brook", "Mill", "Green", "Little", "Aldenbrook", "Europe", "Zurich"),  # names
    *("CSV", "Parquet", "CF", "netCDF", "CRPS", "JSON", "SenML", "RFC", "MicroPython", "PNG", "GeoJSON", "GeoTIFF"),
    *("hPa", "kPa", "mbar", "Cel", "degF", "deg", "mmHg"),
    *("Deutsch", "English", "Wind", "November", "April", "August", "September", "Instrument", "Median", "Orchard"),
    *("Jan", "Feb", "Apr", "Jun", "Jul", "Aug", "Sep", "Nov", "Station"),
}  # fmt: skip
"""Words that are alike in both languages."""


@pytest.mark.parametrize("steward", [False, True])
def test_whoever_chose_german_meets_no_english(db: None, steward: bool) -> None:
    village = make_village(
        3, ("air_temperature", "relative_humidity", "wind_speed", "wind_from_direction", "rain_amount")
    )
    noon = int(datetime(2025, 11, 25, 12, tzinfo=UTC).timestamp())
    seconds = noon - 600 * np.arange(20, dtype=np.int64)[::-1]
    deliver(Report(one.pk, tuple(observations(one, seconds))) for one in Station.objects.all())
    settle()
    readers = Client(), Client()
    if steward:
        person = User.objects.create_user("Brook")
        home = village.households.get(name="Brook")
        Membership.objects.create(household=home, person=person, role=Membership.Role.STEWARD)
        for reader in readers:
            reader.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    pairs = "/little-aldenbrook/compare/?stations={},{}".format(
        *Station.objects.values_list("pk", flat=True)[:2]
    )
    met, alike = set(), set()
    for kind, german, english in pages(
        *readers, "/little-aldenbrook/", "/reading/", "/sending/", pairs, "/no-such-place/"
    ):
        assert '<html lang="de">' in german, kind
        met.add(kind)
        alike |= {(text, kind) for text in texts(german) & texts(english) if set(WORD.findall(text)) - SAME}
    assert not alike
    assert len(met) > 25  # so many kinds of pages were found from links alone


def pages(german: Client, english: Client, *begin: str) -> Iterator[tuple[str, str, str]]:
    """One page of each kind that links lead to: its kind, and how it reads in both languages."""
    german.cookies[COOKIE] = Reader(language="de").cookie()
    ahead, met = list(begin), set()
    for address in ahead:
        kind = re.sub(r"=[^&]*", "", re.sub(r"\d+", "0", address))
        if kind in met or address.startswith(ELSEWHERE):
            continue
        met.add(kind)
        answer = german.get(address)
        if "html" not in answer.get("Content-Type", "") or answer.status_code in (301, 302):
            continue
        page = answer.content.decode()
        ahead += [urljoin(address, html.unescape(link)) for link in LINK.findall(page)]
        yield kind, page, english.get(address).content.decode()


def texts(page: str) -> set[str]:
    """What a page shows and what is read aloud, piece by piece."""
    page = HIDDEN.sub("", page)
    pieces = [*re.split(r"<[^>]+>", page), *ALOUD.findall(page)]
    return {" ".join(html.unescape(piece).split()) for piece in pieces}
