"""The desk: who may sit at it, what its list says, and what a decision made there does."""

import time
from datetime import UTC, datetime
from types import SimpleNamespace

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from network.models import Case, Decision, Evidence, Work
from network.web.desk import cases
from stations.models import Household, Membership, Station, Village
from tests.network.made_village import found_village, make_village

DOUBTFUL, WRONG = 2, 3  # BUFR code table 0 33 020
BEGAN = int(datetime(2026, 3, 27, 11, tzinfo=UTC).timestamp())  # noon in Zurich's winter
Kind, State = Decision.Kind, Station.State


def signed_in(household: Household, role: str, name: str) -> Client:
    person = User.objects.create_user(name, f"{name}@example.org")
    Membership.objects.create(household=household, person=person, role=role)
    client = Client()
    client.force_login(person)
    return client


NOW = BEGAN + 2 * 3600


@pytest.fixture
def village(db, monkeypatch) -> Village:
    monkeypatch.setattr(cases, "time", SimpleNamespace(time=lambda: float(NOW)))
    return make_village(2, ("air_temperature", "wind_speed"))


@pytest.fixture
def mill(village) -> Station:
    return Station.objects.get(name="Mill")


@pytest.fixture
def steward(village) -> Client:
    return signed_in(village.households.get(name="Brook"), Membership.Role.STEWARD, "stella")


@pytest.fixture
def keeper(mill) -> Client:
    return signed_in(mill.household, Membership.Role.KEEPER, "kay")


@pytest.fixture
def stranger(village) -> Client:
    """The steward of another village."""
    away = found_village(name="Farwick")
    return signed_in(Household.objects.create(village=away, name="Inn"), Membership.Role.STEWARD, "sam")


def doubted(station: Station, **fields: object) -> Case:
    """A case with the evidence it is made of: 314.35 K are 41.2 °C, 301.15 K are 28.0 °C."""
    given = {
        "variable": "air_temperature",
        "seen_in": str(fields.get("variable") or "air_temperature"),
        "check_name": "departure",
        "begins_at": BEGAN,
        "ends_at": BEGAN + 3600,
        "readings": 13,
        "verdict": WRONG,
        "strain": 6.6,
        "observed": 314.35,
        "expected": 301.15,
        "tolerance": 2.0,
    } | fields
    seen = {name: value for name, value in given.items() if name not in ("seen_in", "at_once")}
    Evidence.objects.create(station=station, **seen | {"variable": given["seen_in"]})
    return Case.objects.create(station=station, weight=given["readings"] ** 0.5, **given)


def page(client: Client, name: str, *args: object, **query: object) -> str:
    answer = client.get(reverse(name, args=args), query)
    assert answer.status_code == 200
    return answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")


def addresses(village: Village, station: Station, case: Case, decision: Decision) -> list[tuple[str, str]]:
    """Everything at the desk, and the method it takes."""
    slug = village.slug
    return [
        ("get", reverse("desk", args=[slug])),
        ("get", reverse("desk-settled", args=[slug])),
        ("get", reverse("trail", args=[slug])),
        ("get", reverse("case", args=[slug, case.pk])),
        ("post", reverse("case", args=[slug, case.pk])),
        ("get", reverse("desk-station", args=[slug, station.pk])),
        ("post", reverse("desk-station", args=[slug, station.pk])),
        ("get", reverse("letter", args=[slug, case.pk])),
        (
            "get",
            reverse("reading", args=[slug]) + f"?station={station.pk}&variable=air_temperature&at={BEGAN}",
        ),
        ("post", reverse("maintenance", args=[slug, station.pk])),
        ("post", reverse("undo", args=[slug, decision.pk])),
    ]


@pytest.mark.parametrize("who", ["keeper", "stranger", "nobody"])
def test_to_everybody_but_the_villages_steward_the_desk_is_not_there(village, mill, request, who):
    case = doubted(mill)
    decision = Decision.objects.create(station=mill, kind=Kind.KEEP, begins_at=0, ends_at=0)
    client = Client() if who == "nobody" else request.getfixturevalue(who)
    for method, address in addresses(village, mill, case, decision):
        answer = getattr(client, method)(address, {"kind": "keep", "reason": "mine"})
        assert answer.status_code == 404, address
    assert Decision.objects.count() == 1
    assert Decision.objects.get().undone_at is None


def test_a_steward_reaches_no_other_villages_case_through_their_own(stranger, mill):
    farwick = Village.objects.get(slug="farwick")
    assert stranger.get(reverse("case", args=[farwick.slug, doubted(mill).pk])).status_code == 404
    assert stranger.get(reverse("desk-station", args=[farwick.slug, mill.pk])).status_code == 404


def test_the_list_says_since_when_where_what_how_sure_and_how_often(steward, village, mill):
    doubted(mill)
    words = page(steward, "desk", village.slug)
    assert "Mill, air temperature" in words
    assert "Fri 27 Mar" in words
    assert "12:00" in words  # village time; 11:00 UTC
    assert "The air temperature read 41.2 °C, while the neighbours lead us to expect" in words
    assert "wrong: 13 readings" in words
    assert "fairly sure: one kind of check, strongly" in words
    assert "of the last 30 days" in words
    assert "at worst" in words


def test_cases_come_by_weight_and_settled_ones_behind_a_link(steward, village, mill):
    doubted(mill, readings=7, verdict=DOUBTFUL, variable="wind_speed")
    doubted(mill, readings=99)
    doubted(Station.objects.get(name="Brook"))
    Case.objects.filter(station__name="Brook").update(settled_at=datetime(2026, 3, 28, tzinfo=UTC))
    words = page(steward, "desk", village.slug)
    assert words.index("Mill, air temperature") < words.index("Mill, wind speed")
    assert "Brook, air temperature" not in words
    assert "Settled (1)" in words
    assert "Brook, air temperature" in page(steward, "desk-settled", village.slug)


def test_a_case_is_open_then_over_then_gone_from_the_list_unless_it_is_seen_again(
    steward, village, mill, monkeypatch
):
    doubted(mill)
    day = 86400
    for later, says in ((0, "goes on"), (day, "over since"), (8 * day, "Nothing waits for you")):
        monkeypatch.setattr(cases, "time", SimpleNamespace(time=lambda later=later: float(NOW + later)))
        words = page(steward, "desk", village.slug)
        assert says in words, later
    settled = page(steward, "desk-settled", village.slug)
    assert settled.index("Gone by themselves") < settled.index("Mill, air temperature")


def test_one_reading_does_not_go_on(steward, village, mill):
    doubted(mill, readings=1, ends_at=BEGAN)
    words = page(steward, "desk", village.slug)
    assert "wrong: 1 reading<" in words
    assert "at worst" not in words
    assert "goes on" not in words


def test_a_fault_of_the_station_itself_is_told_as_one(steward, village, mill):
    doubted(mill, variable="", seen_in="air_temperature", check_name="clock", hint="an hour behind")
    words = page(steward, "desk", village.slug)
    assert "Mill, clock" in words
    assert "The clock seems to be an hour behind" in words


def test_what_has_gone_on_for_longer_is_seen_on_no_more_days_than_are_counted(steward, village, mill):
    now = int(time.time())
    for day in range(40):
        Evidence.objects.create(
            station=mill, variable="air_temperature", check_name="departure", begins_at=now - 86400 * day,
            ends_at=now - 86400 * day, readings=1, verdict=DOUBTFUL, strain=1.4,
        )  # fmt: skip
    doubted(mill, begins_at=now - 40 * 86400, ends_at=now)
    assert "on 30 of the last 30 days" in page(steward, "desk", village.slug)


def test_what_many_stations_show_at_once_is_one_line_that_blames_none_of_them(steward, village, mill):
    for station in Station.objects.of(village):
        doubted(station, at_once=2)
    words = page(steward, "desk", village.slug)
    assert "1 case to look at" not in words.split("<h2>")[1]
    assert "Seen at 2 of 2 stations at once: weather or the hub, not the stations." in words
    assert words.count('<article class="entry">') == 1
    for case in Case.objects.all():
        assert reverse("case", args=[village.slug, case.pk]) in words


def test_the_first_cases_bear_the_key_that_opens_them(steward, village, mill):
    case = doubted(mill)
    words = page(steward, "desk", village.slug)
    assert f'href="{reverse("case", args=[village.slug, case.pk])}" data-opens="1"' in words


def test_stations_that_wait_come_first(steward, village, mill):
    doubted(Station.objects.get(name="Brook"))
    Station.objects.filter(pk=mill.pk).update(state=State.AWAITING, counts_from=None)
    words = page(steward, "desk", village.slug)
    assert "1 station waits for approval." in words
    assert words.index(reverse("desk-station", args=[village.slug, mill.pk])) < words.index("Brook, air")


def test_work_that_failed_is_shown_with_its_reason(steward, village):
    Work.objects.create(
        village=village, stage=Work.Stage.CHECK, block=BEGAN, generation=1, attempts=3,
        due_at=time.time() + 60, problem="ZeroDivisionError: float division by zero",
    )  # fmt: skip
    words = page(steward, "desk", village.slug)
    assert "Work that failed" in words
    assert "ZeroDivisionError: float division by zero" in words


def test_a_desk_with_nothing_on_it_says_so(steward, village):
    words = page(steward, "desk", village.slug)
    assert "Nothing waits for you" in words
    assert "Nothing has been settled yet" in page(steward, "desk-settled", village.slug)
    assert "Nothing has been decided" in page(steward, "trail", village.slug)


def test_the_list_asks_the_database_no_more_for_many_cases_than_for_one(
    steward, village, mill, django_assert_max_num_queries
):
    for hour in range(12):
        doubted(mill, begins_at=BEGAN + 50_000 * hour, ends_at=BEGAN + 50_000 * hour + 600)
    with django_assert_max_num_queries(20):
        page(steward, "desk", village.slug)
