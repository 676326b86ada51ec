"""Stations side by side, as a program asks."""

import pytest
from django.test import Client

from tests.network.known_hours import Known, hollow

SPAN = {"from": "2025-05-05T00:00:00+02:00", "to": "2025-05-29T00:00:00+02:00"}


@pytest.fixture(autouse=True)
def _hollow(known: Known) -> None:
    hollow(known)


def ask(known: Known, **more: str) -> tuple[int, dict]:
    asked = SPAN | {"stations": f"{known.green.pk},{known.brook.pk}"} | more
    answer = Client().get(f"/api/villages/{known.village.slug}/side-by-side", asked)
    return answer.status_code, answer.json()


def test_a_hollow_is_told_with_its_figures(known: Known) -> None:
    status, body = ask(known)
    (pair,) = body["pairs"]
    assert (status, pair["station"], pair["against"], pair["hours"]) == (
        200,
        known.brook.pk,
        known.green.pk,
        576,
    )
    nights = [one for one in pair["said"] if "nights Brook is 2.0\N{NO-BREAK SPACE}°C colder" in one["words"]]
    assert [one["carried"] for one in nights] == [True]
    assert [one["group"] for one in pair["by_wind"]] == ["W"]
    assert len(pair["by_hour"]) == 24 and pair["by_hour"][12]["median"] == pytest.approx(-0.3, abs=0.01)


def test_a_difference_is_scaled_and_not_shifted(known: Known) -> None:
    celsius, fahrenheit = (
        ask(known, units=unit)[1]["pairs"][0]["mean_difference"] for unit in ("Cel", "[degF]")
    )
    assert fahrenheit == pytest.approx(1.8 * celsius, abs=1e-3)


@pytest.mark.parametrize(
    ("more", "status"),
    [
        ({"stations": "999998,999999"}, 404),
        ({"stations": "one,two"}, 400),
        ({"variable": "happiness"}, 400),
        ({"from": "2025-06-05T00:00:00Z"}, 400),
        ({"from": "2020-06-05T00:00:00Z"}, 400),
        ({"readings": "some"}, 400),
    ],
)
def test_a_question_without_sense_is_refused_with_a_hint(
    known: Known, more: dict[str, str], status: int
) -> None:
    assert ask(known, **more)[0] == status


def test_one_station_alone_is_refused(known: Known) -> None:
    status, body = ask(known, stations=str(known.green.pk))
    assert status == 400 and "2 to 10 different stations" in body["error"]
