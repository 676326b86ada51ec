"""Stored once, or not acknowledged."""

from django.db import OperationalError

from network.models import Report
from network.pipeline.intake import receive
from network.pipeline.ledger import work
from stations.models import DeviceKey, Station
from tests.network.web.intake.conftest import FORM, THEN, assert_refused


def test_the_same_report_again_is_acknowledged_and_not_stored(post):
    answers = [post({"time": THEN, "t": 21.4}).json()["new"] for _ in range(3)]
    assert answers == [True, False, False] and Report.objects.count() == 1


def test_a_board_without_a_clock_that_repeats_itself_at_once(post):
    assert [post("t=21.4", FORM).json()["new"] for _ in range(2)] == [True, False]


def test_the_same_text_of_two_stations_is_two_reports(post, station):
    neighbour = Station.objects.create(household=station.household, name="Shed")
    _, key = DeviceKey.issue(neighbour)
    post("t=21.4", FORM)
    assert post("t=21.4", FORM, headers={"X-Device-Key": key}).json()["new"]


def test_nothing_is_acknowledged_when_the_work_cannot_be_marked(post, monkeypatch):
    def fails(*_: object) -> None:
        raise RuntimeError("power cut")

    monkeypatch.setattr(work, "mark_reports", fails)
    assert post({"time": THEN, "t": 21.4}).status_code == 500
    assert not Report.objects.exists()


def test_a_database_that_is_away_asks_the_board_to_keep_its_report(post, monkeypatch):
    def locked(*_: object) -> None:
        raise OperationalError("database is locked")

    monkeypatch.setattr(receive.Report, "keep", locked)
    answer = post({"time": THEN, "t": 21.4})
    assert_refused(answer, 503, "send it again later")
    assert int(answer["Retry-After"]) > 0 and not Report.objects.exists()
