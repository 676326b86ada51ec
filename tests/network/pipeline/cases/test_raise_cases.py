"""From evidence to cases: one for each fault, growing and closing with it, answered by decisions."""

import pytest

from network.models import Case, Decision, Evidence
from network.pipeline.cases.raise_cases import APART, REST, raise_cases
from network.pipeline.ledger import blocks
from stations.models import Station, Village
from tests.network.made_village import make_village

NOON = 1_774_612_800  # 2026-03-27 12:00 UTC, the beginning of a block
HOUR = blocks.HOUR
DOUBTFUL, WRONG = 2, 3  # BUFR code table 0 33 020
SILENCE = APART / HOUR
Kind = Decision.Kind


@pytest.fixture
def village(db) -> Village:
    return make_village(2)


@pytest.fixture
def mill(village) -> Station:
    return Station.objects.get(name="Mill")


def saw(station: Station, begins: float, ends: float, **fields: object) -> Evidence:
    """A check spoke of every five-minute reading from ``begins`` to ``ends`` [hours after noon]."""
    given = {"variable": "air_temperature", "check_name": "departure", "verdict": WRONG, "strain": 2.5}
    return Evidence.objects.create(
        station=station,
        begins_at=NOON + int(begins * HOUR),
        ends_at=NOON + int(ends * HOUR),
        readings=int((ends - begins) * 12) + 1,
        **given | fields,
    )


def look(village: Village, hours: float = 0.0) -> list[Case]:
    """The stage at work on the block that a time lies in [hours after noon]."""
    raise_cases(village.pk, blocks.block_of(NOON + hours * HOUR))()
    return list(Case.objects.order_by("begins_at"))


def decide(case: Case, kind: str, **fields: object) -> Decision:
    given = {"variable": case.variable, "begins_at": case.begins_at, "ends_at": case.ends_at} | fields
    return Decision.objects.create(station=case.station, kind=kind, **given)


def test_a_fault_cut_by_blocks_is_one_case_over_its_whole_span(village, mill):
    saw(mill, 4.0, 5.9)
    saw(mill, 6.0, 11.9)
    saw(mill, 12.0, 13.0)
    (case,) = look(village, 6)
    assert (case.begins_at, case.ends_at) == (NOON + 4 * HOUR, NOON + 13 * HOUR)
    assert case.readings == 23 + 71 + 13


def test_a_long_silence_parts_two_cases(village, mill):
    saw(mill, 0.0, 1.0)
    saw(mill, SILENCE + 1.1, SILENCE + 2.0)
    assert len(look(village)) == 2
    saw(mill, SILENCE / 2, SILENCE / 2 + 0.5)  # what lies between makes one of them
    assert len(look(village)) == 1


def test_several_checks_about_one_variable_are_one_case_named_by_the_loudest(village, mill):
    saw(mill, 0.0, 5.0, check_name="stuck", verdict=DOUBTFUL)
    saw(mill, 1.0, 2.0, check_name="departure")
    (case,) = look(village)
    assert case.check_name == "stuck"
    assert case.verdict == WRONG


def test_what_follows_from_another_fault_is_no_case_of_its_own(village, mill):
    saw(mill, 0.0, 5.0)
    saw(mill, 0.5, 5.5, variable="dew_point")
    saw(mill, 0.0, 5.0, variable="wind_speed")
    assert {case.variable for case in look(village)} == {"air_temperature", "wind_speed"}


def test_a_fault_of_the_station_itself_is_one_case_whatever_it_shows_in(village, mill):
    for variable in ("air_temperature", "wind_speed", "station_pressure"):
        saw(mill, 0.0, 5.0, variable=variable, check_name="clock", verdict=DOUBTFUL)
        saw(mill, 1.0, 2.0, variable=variable)  # what a clock that is off makes the neighbours say
    (case,) = look(village)
    assert (case.variable, case.check_name, case.readings) == ("", "clock", 61)
    assert case.seen_in == "air_temperature"


def test_a_rotor_at_fault_is_a_case_beside_a_clock_at_fault(village, mill):
    saw(mill, 0.0, 5.0, check_name="clock")
    saw(mill, 0.0, 5.0, variable="wind_speed", check_name="rotor")
    assert {case.variable for case in look(village)} == {"", "wind_speed"}


def test_gusts_are_part_of_the_case_of_their_wind(village, mill):
    saw(mill, 0.0, 5.0, variable="wind_speed", check_name="unit_hypothesis")
    saw(mill, 0.0, 5.0, variable="wind_gust", check_name="unit_hypothesis")
    assert [case.variable for case in look(village)] == ["wind_speed"]


def test_a_check_that_names_the_cause_speaks_for_the_case_before_one_that_only_sees_that_it_is_off(
    village, mill
):
    saw(mill, 0.0, 5.0)
    saw(mill, 0.0, 5.0, check_name="offset", hint="too high")
    saw(mill, 2.0, 4.0, check_name="unit_hypothesis", hint="in degrees Fahrenheit")
    (case,) = look(village)
    assert (case.check_name, case.hint) == ("unit_hypothesis", "in degrees Fahrenheit")
    assert case.readings == 61


def test_a_check_that_says_by_how_much_speaks_before_one_that_sees_only_that_and_after_one_that_says_why(
    village, mill
):
    saw(mill, 0.0, 5.0, variable="wind_speed")
    saw(mill, 1.0, 5.0, variable="wind_speed", check_name="break_point")
    assert look(village)[0].check_name == "break_point"
    saw(mill, 2.0, 5.0, variable="wind_speed", check_name="rotor")
    assert look(village)[0].check_name == "rotor"


def test_what_most_stations_show_within_the_same_hours_is_recognised_as_one_and_comes_last(db):
    village = make_village(5)
    stations = list(Station.objects.of(village).order_by("pk"))
    for hours, station in enumerate(stations[:3]):
        saw(station, hours, hours + 9.0)  # a front that took two hours to cross the village
    saw(stations[4], 0.0, 3.0, variable="wind_speed")
    look(village)
    shared = Case.objects.filter(variable="air_temperature")
    assert {case.at_once for case in shared} == {3}
    assert Case.objects.open().first().variable == "wind_speed"
    Evidence.objects.filter(station=stations[2]).delete()  # two are no crowd
    look(village)
    assert {case.at_once for case in Case.objects.all()} == {0}


def test_clocks_that_are_off_at_most_stations_at_once_come_first(db):
    village = make_village(4)
    for station in Station.objects.of(village)[:3]:
        saw(station, 0.0, 9.0, check_name="clock")
    saw(Station.objects.of(village)[3], 0.0, 5.0)
    look(village)
    assert Case.objects.open().first().check_name == "clock"
    assert {case.at_once for case in Case.objects.filter(check_name="clock")} == {3}


def test_a_day_of_work_on_a_station_settles_what_began_in_it(village, mill):
    saw(mill, 1.0, 2.0)
    case = look(village)[0]
    decision = decide(case, Kind.MAINTENANCE, variable="", begins_at=NOON, ends_at=NOON + 6 * HOUR)
    assert look(village)[0].settled_at == decision.made_at


def test_a_decision_about_one_variable_leaves_the_station_itself_open(village, mill):
    saw(mill, 0.0, 5.0, check_name="clock")
    saw(mill, 0.0, 5.0, variable="wind_speed", check_name="rotor")
    decide(look(village)[1], Kind.REJECT, variable="wind_speed")
    open_cases = [case for case in look(village) if case.settled_at is None]
    assert [case.variable for case in open_cases] == [""]


def test_a_few_doubtful_readings_are_no_case_and_one_wrong_reading_is(village, mill):
    saw(mill, 0.0, 0.4, verdict=DOUBTFUL)  # five of them
    assert look(village) == []
    saw(mill, 0.5, 0.5, check_name="physical")
    assert len(look(village)) == 1


def test_a_case_keeps_its_address_while_it_grows_at_either_end(village, mill):
    saw(mill, 2.0, 4.0)
    (before,) = look(village)
    saw(mill, 4.1, 5.5, check_name="step")
    saw(mill, 1.0, 1.9, check_name="step")  # late reports reach further back
    (after,) = look(village)
    assert after.pk == before.pk
    assert after.begins_at == NOON + HOUR
    assert after.ends_at == NOON + int(5.5 * HOUR)


def test_a_case_closes_when_its_evidence_is_gone(village, mill):
    evidence = saw(mill, 2.0, 4.0)
    assert len(look(village)) == 1
    evidence.delete()
    assert look(village) == []


@pytest.mark.parametrize("kind", [Kind.KEEP, Kind.BELIEVE, Kind.REJECT, Kind.SET_ASIDE, Kind.CALIBRATE])
def test_a_decision_settles_the_case_it_was_made_about(village, mill, kind):
    saw(mill, 0.0, 4.0)
    (case,) = look(village)
    decision = decide(case, kind, parameters={"check": "departure"})
    (case,) = look(village)
    assert case.settled_at == decision.made_at
    assert not Case.objects.open().exists()


def test_a_question_to_the_keeper_leaves_the_case_open(village, mill):
    saw(mill, 0.0, 4.0)
    decide(look(village)[0], Kind.ASK)
    assert look(village)[0].settled_at is None


def test_an_undone_decision_settles_nothing(village, mill):
    saw(mill, 0.0, 4.0)
    case = look(village)[0]
    decide(case, Kind.KEEP, parameters={"check": "departure"}, undone_at="2026-03-28T00:00Z")
    assert look(village)[0].settled_at is None


def test_a_kept_verdict_stays_settled_while_the_same_goes_on_for_days(village, mill):
    saw(mill, 0.0, 5.0)
    decide(look(village)[0], Kind.KEEP, parameters={"check": "departure"})
    for hours in (6, 12, 18, 24, 30, 36):
        saw(mill, hours, hours + 5)
    (case,) = look(village, 36)
    assert case.settled_at is not None


def test_a_kept_verdict_is_open_again_when_another_check_becomes_the_loudest(village, mill):
    saw(mill, 0.0, 2.0)
    decide(look(village)[0], Kind.KEEP, parameters={"check": "departure"})
    saw(mill, 0.0, 5.0, check_name="stuck")
    assert look(village)[0].settled_at is None


def test_readings_believed_once_are_asked_about_again_when_it_goes_on_beyond_half_a_day(village, mill):
    saw(mill, 0.0, 5.0)
    decide(look(village)[0], Kind.BELIEVE)
    saw(mill, 6.0, 5.0 + REST / HOUR)
    assert look(village, 6)[0].settled_at is not None
    saw(mill, 18.0, 20.0)
    assert look(village, 18)[0].settled_at is None


def test_a_decision_about_one_fault_leaves_a_later_one_open(village, mill):
    saw(mill, 0.0, 4.0)
    decide(look(village)[0], Kind.KEEP, parameters={"check": "departure"})
    look(village)
    saw(mill, SILENCE + 10.0, SILENCE + 14.0)
    first, second = look(village, SILENCE + 10.0)
    assert first.settled_at is not None
    assert second.settled_at is None
