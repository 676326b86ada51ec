"""What keepers are told: in their unit, in village time, once a day, and in words that blame the sun."""

import time
from datetime import UTC, datetime
from smtplib import SMTPRecipientsRefused, SMTPServerDisconnected

import pytest
from django.contrib.auth.models import User
from django.core import mail

from network.models import Case, Decision, Notice
from network.pipeline.telling import notices, post
from network.pipeline.telling.notices import of_case, of_decision, of_undoing
from network.quality.hypotheses import HYPOTHESES
from stations.models import Membership, Station
from tests.network.made_village import make_village

WRONG = 3  # BUFR code table 0 33 020
TEN_PAST_TWO = int(datetime(2025, 7, 1, 12, 10, tzinfo=UTC).timestamp())  # 14:10 in Zurich's summer
Kind = Decision.Kind


@pytest.fixture
def mill(db) -> Station:
    make_village(2, ("air_temperature", "wind_speed"))
    return Station.objects.select_related("household__village").get(name="Mill")


def hot(station: Station, **fields: object) -> Case:
    """A case: 314.35 K are 41.2 °C or 106.2 °F (314.35 - 273.15; x 1.8 + 32), 301.15 K are 28 °C or 82.4 °F."""
    given = {
        "variable": "air_temperature",
        "seen_in": str(fields.get("variable") or "air_temperature"),
        "check_name": "departure",
        "begins_at": TEN_PAST_TWO,
        "ends_at": TEN_PAST_TWO + 3600,
        "readings": 13,
        "verdict": WRONG,
        "strain": 4.0,
        "observed": 314.35,
        "expected": 301.15,
        "tolerance": 2.0,
        "weight": 3.6,
    }
    return Case.objects.create(station=station, **given | fields)


def keeper(station: Station, email: str = "kay@example.org") -> User:
    person = User.objects.create_user("kay", email)
    Membership.objects.create(household=station.household, person=person)
    return person


def test_a_case_says_what_was_seen_what_was_expected_what_was_done_and_what_helps(mill):
    words = of_case(hot(mill, ends_at=int(time.time())))
    assert words.startswith("Mill, since Tuesday 1 July, 14:10: The air temperature read 41.2 °C, while")
    assert "We are fairly sure: one kind of check, strongly." in words
    assert "expect 28.0 °C (give or take 2.0 °C)" in words
    assert (
        "We kept the 13 readings, call them doubtful or wrong, and leave them out of the village map."
        in words
    )
    assert words.endswith("its height and its cable.")


def test_a_single_reading_is_told_as_one_that_needs_nothing_unless_more_follow(mill):
    words = of_case(hot(mill, readings=1, ends_at=TEN_PAST_TWO))
    assert words.startswith("Mill, on Tuesday 1 July at 14:10: The air temperature read 41.2 °C")
    assert "We kept the reading, call it wrong, and leave it out of the village map." in words
    assert "It was a single one, and there is nothing to do unless more follow:" in words
    assert "since" not in words


def test_a_fault_that_is_over_is_told_from_when_to_when(mill):
    assert of_case(hot(mill)).startswith("Mill, from Tuesday 1 July, 14:10 to Tuesday 1 July, 15:10: The air")


def test_a_fault_of_the_station_itself_is_told_of_the_station(mill):
    words = of_case(
        hot(mill, variable="", seen_in="air_temperature", check_name="clock", hint="an hour behind")
    )
    assert "The clock seems to be an hour behind" in words


def test_the_same_fault_is_told_again_after_a_week_and_a_new_one_at_once(mill, monkeypatch):
    day = 86400
    case = hot(mill, begins_at=TEN_PAST_TWO, ends_at=TEN_PAST_TWO + 20 * day)
    for days, told in ((0, 1), (1, 1), (6, 1), (8, 2), (9, 2)):
        now = TEN_PAST_TWO + days * day + 7200
        monkeypatch.setattr(notices.time, "time", lambda now=now: float(now))
        monkeypatch.setattr(notices.timezone, "now", lambda now=now: datetime.fromtimestamp(now, UTC))
        notices.write()
        Notice.objects.filter(made_at__gt=datetime.fromtimestamp(now, UTC)).update(
            made_at=datetime.fromtimestamp(now, UTC)
        )
        assert Notice.objects.count() == told, days
    Case.objects.filter(pk=case.pk).update(begins_at=TEN_PAST_TWO + 10 * day)
    now = TEN_PAST_TWO + 11 * day
    monkeypatch.setattr(notices.time, "time", lambda: float(now))
    monkeypatch.setattr(notices.timezone, "now", lambda: datetime.fromtimestamp(now, UTC))
    notices.write()
    assert Notice.objects.count() == 3


def test_what_many_stations_show_at_once_is_no_keepers_fault(mill, monkeypatch):
    monkeypatch.setattr(notices.time, "time", lambda: TEN_PAST_TWO + 7200.0)
    hot(mill, at_once=4)
    notices.write()
    assert not Notice.objects.exists()


def test_a_keeper_whose_device_speaks_fahrenheit_is_answered_in_it(mill):
    mill.channels.filter(name="t").update(unit="[degF]")
    words = of_case(hot(mill))
    assert "read 106.2 °F" in words
    assert "expect 82.4 °F (give or take 3.6 °F)" in words


def test_a_unit_that_the_check_itself_names_is_told_once(mill, monkeypatch):
    fahrenheit = next(one for one in HYPOTHESES["air_temperature"] if one.unit == "[degF]")
    monkeypatch.setattr(notices, "likeliest_unit", lambda case, departures: fahrenheit)
    hint = fahrenheit.words()
    assert of_case(hot(mill, check_name="unit_hypothesis", hint=hint)).count(hint) == 1
    assert f"The numbers would fit if they were {hint}." in of_case(hot(mill, begins_at=TEN_PAST_TWO - 600))


def test_a_keeper_whose_device_sends_raw_counts_is_answered_in_the_usual_unit(mill):
    mill.channels.filter(name="wind").update(unit="count")
    words = of_case(hot(mill, variable="wind_speed", observed=0.0, expected=4.0, tolerance=3.0))
    assert "read 0.0 m/s" in words


def test_an_ampersand_in_a_name_stays_one(mill):
    Station.objects.filter(pk=mill.pk).update(name="Mill & Weir")
    assert of_case(hot(Station.objects.get(pk=mill.pk))).startswith("Mill & Weir, from")


@pytest.mark.parametrize("kind", Kind.values)
def test_every_decision_and_its_undoing_has_its_own_sentence(mill, kind):
    figures = {
        Kind.CHANGE_UNIT: {"unit": "[degF]", "before": "Cel"},
        Kind.CALIBRATE: {"offset": -0.8},
        Kind.FIX_CLOCK: {"fast_by": -3600},
    }
    since = "2025-07-01T00:00:00+02:00" if kind == Kind.APPROVE else TEN_PAST_TWO
    about = "" if kind in (Kind.APPROVE, Kind.SEND_BACK, Kind.PAUSE, Kind.RETIRE) else "air_temperature"
    decision = Decision.objects.create(
        station=mill,
        kind=kind,
        variable=about,
        begins_at=TEN_PAST_TWO,
        ends_at=TEN_PAST_TWO,
        parameters=figures.get(kind, {}) | {"since": since},
        reason="We looked together.",
    )
    words = of_decision(decision)
    assert "Mill" in words
    assert "We looked together." in words
    assert words.endswith((".", "”"))
    assert "Mill" in of_undoing(decision)


def test_a_new_unit_and_a_new_calibration_say_their_figures(mill):
    unit = Decision(
        station=mill, kind=Kind.CHANGE_UNIT, variable="air_temperature", begins_at=TEN_PAST_TWO,
        parameters={"unit": "[degF]", "before": "Cel", "since": TEN_PAST_TWO},
    )  # fmt: skip
    assert "make sense in °F, not in °C: from Tuesday 1 July 2025, 14:10 on" in of_decision(unit)
    offset = Decision(
        station=mill, kind=Kind.CALIBRATE, variable="air_temperature", begins_at=TEN_PAST_TWO,
        parameters={"offset": -0.8, "since": TEN_PAST_TWO},
    )  # fmt: skip
    assert "0.8 °C is taken off every reading" in of_decision(offset)


def test_a_clock_set_right_says_by_how_much_and_what_to_mind(mill):
    clock = Decision(
        station=mill, kind=Kind.FIX_CLOCK, begins_at=TEN_PAST_TWO, ends_at=TEN_PAST_TWO,
        parameters={"fast_by": -3600, "since": TEN_PAST_TWO},
    )  # fmt: skip
    words = of_decision(clock)
    assert "The clock of Mill is 60 minutes behind the true time: from Tuesday 1 July 2025, 14:10 on" in words
    assert "Should you set its clock right, tell the steward" in words


def test_a_case_that_goes_on_is_told_once_a_day(mill, monkeypatch):
    monkeypatch.setattr(notices.time, "time", lambda: TEN_PAST_TWO + 7200.0)
    hot(mill)
    notices.write()
    notices.write()
    assert Notice.objects.filter(station=mill).count() == 1


def test_settled_cases_and_stations_at_rest_are_not_told_of(mill, monkeypatch):
    monkeypatch.setattr(notices.time, "time", lambda: TEN_PAST_TWO + 7200.0)
    hot(mill, settled_at=datetime(2025, 7, 1, 13, tzinfo=UTC))
    brook = Station.objects.get(name="Brook")
    Station.objects.filter(pk=brook.pk).update(state=Station.State.PAUSED)
    hot(brook)
    notices.write()
    assert not Notice.objects.exists()


def test_a_notice_goes_to_every_member_of_the_household_once(mill):
    keeper(mill)
    notices.tell(mill, "test", "The funnel is full of leaves.")
    notices.send()
    notices.send()
    (sent,) = mail.outbox
    assert sent.to == ["kay@example.org"]
    assert sent.body == "The funnel is full of leaves."
    assert sent.subject.startswith("Mill:")


def test_a_mail_server_that_is_away_is_asked_again(mill, monkeypatch):
    keeper(mill)
    notices.tell(mill, "test", "Look.")

    def away(*args: object) -> None:
        raise SMTPServerDisconnected("gone")

    monkeypatch.setattr(post, "send_mail", away)
    notices.send()
    assert Notice.objects.get().sent_at is None
    monkeypatch.undo()
    notices.send()
    assert Notice.objects.get().sent_at is not None


def test_an_address_that_does_not_exist_holds_nobody_up(mill, monkeypatch):
    keeper(mill, "nobody@example.org")

    def refused(*args: object) -> None:
        raise SMTPRecipientsRefused({})

    monkeypatch.setattr(post, "send_mail", refused)
    notices.tell(mill, "one", "Look.")
    notices.tell(mill, "two", "Look again.")
    notices.send()
    assert not Notice.objects.filter(sent_at=None).exists()
