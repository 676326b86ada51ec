"""The page that says how readings are checked."""

import re

from django.test import Client

from network.quality.checks import CHECKS


def test_every_check_has_its_place_its_source_and_its_words(db: None) -> None:
    page = Client().get("/checks/").content.decode()
    assert set(re.findall(r'<section class="entry" id="(\w+)"', page)) == CHECKS.keys()
    assert page.count("Source: ") == len(CHECKS)
    assert "{" not in page
