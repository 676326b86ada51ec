"""The page for whoever programs a board: every form, refusal and limit, and programs to copy."""

import html

import pytest
from django.test import Client


def test_the_page_names_every_refusal_and_limit() -> None:
    words = Client().get("/sending/").content.decode()
    for word in ("202", "400", "401", "403", "413", "422", "429", "1000 kB", "10000 readings", "Retry-After"):
        assert word in words


@pytest.mark.parametrize(
    ("kind", "file"), [("micropython", "main.py"), ("cpp", "station.ino"), ("shell", "station.sh")]
)
def test_a_program_on_the_page_is_the_file_that_is_saved(kind: str, file: str) -> None:
    answer = Client().get(f"/sending/{kind}")
    text = answer.content.decode()
    assert file in answer["Content-Disposition"]
    assert "/api/reports" in text and "YOUR-KEY" in text
    assert text in html.unescape(Client().get("/sending/").content.decode())


def test_there_is_no_program_of_another_name() -> None:
    assert Client().get("/sending/fortran").status_code == 404
