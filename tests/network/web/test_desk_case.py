"""A case on one sheet: the evidence, the sentences to choose from, and what choosing does."""

import re

import pytest
from django.urls import reverse

from network.models import Case, Decision, Evidence, Finding, Observation
from network.quality.checks import CHECKS
from stations.models import Calibration, Clock, SitingNote, Station
from tests.network.made_village import FOUNDED
from tests.network.web.test_desk import BEGAN, DOUBTFUL, doubted, page
from tests.network.web.test_desk import keeper as keeper
from tests.network.web.test_desk import mill as mill
from tests.network.web.test_desk import steward as steward
from tests.network.web.test_desk import village as village

Kind = Decision.Kind
GOOD, WRONG = 0, 3  # BUFR code table 0 33 020


@pytest.fixture
def case(mill) -> Case:
    """An hour at 41.2 °C, every reading of it wrong, after an hour of good ones at 20 °C."""
    for n in range(-12, 13):
        hot = n >= 0
        Observation.objects.create(
            station=mill,
            observed_at=BEGAN + 300 * n,
            air_temperature=314.35 if hot else 293.15,
            air_temperature_mark=WRONG if hot else GOOD,
            battery_voltage=3.9,
        )
    return doubted(mill)


def decide(client, village, case, **form):
    return client.post(reverse("case", args=[village.slug, case.pk]), form)


def test_the_sheet_says_what_each_check_saw_with_source_and_advice(steward, village, mill, case):
    Evidence.objects.create(
        station=mill, variable="air_temperature", check_name="step", begins_at=BEGAN, ends_at=BEGAN,
        readings=1, verdict=DOUBTFUL, strain=1.4, observed=314.35, expected=293.15, tolerance=3.0,
    )  # fmt: skip
    words = page(steward, "case", village.slug, case.pk)
    assert CHECKS["departure"].advice in words
    assert CHECKS["step"].advice not in words  # one advice a case, from the check that speaks for it
    assert "After Hubbard et al. (2005)" in words
    assert "sure: two kinds of check agree" in words


def test_the_sheet_shows_the_series_siting_instrument_calibration_and_power(steward, village, mill, case):
    channel = mill.channels.get(name="t")
    Calibration.objects.create(
        channel=channel, begins_at=FOUNDED, kind="gain_offset", parameters={"offset": -0.3}, reason="ice bath"
    )
    SitingNote.objects.create(
        placement=mill.placements.get(), variable="air_temperature", siting_class=4, words="By a wall.",
        written_at=FOUNDED,
    )  # fmt: skip
    words = page(steward, "case", village.slug, case.pk)
    assert "<svg" in words
    assert "By a wall." in words
    assert "class 4" in words
    assert "offset -0.3" in words
    assert "ice bath" in words
    assert "Battery between 3.90 V and 3.90 V" in words


def test_how_many_are_wrong_and_how_many_in_doubt_stands_beside_the_worst_verdict(
    steward, village, mill, case
):
    some = Observation.objects.filter(station=mill, observed_at__gt=BEGAN + 2100)
    some.update(air_temperature_mark=DOUBTFUL)
    words = page(steward, "case", village.slug, case.pk)
    assert "of the values within its span 8 are called wrong and 5 doubtful" in words


@pytest.mark.parametrize("kind", ["keep", "believe", "reject", "set_aside", "maintenance"])
def test_a_decision_takes_effect_and_can_be_undone_from_the_desk(steward, village, case, kind):
    answer = decide(steward, village, case, kind=kind, reason="Seen it.")
    assert answer.url == reverse("desk", args=[village.slug])
    decision = Decision.objects.get()
    assert (decision.kind, decision.reason, decision.made_by.username) == (kind, "Seen it.", "stella")
    case.refresh_from_db()
    assert case.settled_at == decision.made_at
    undo = reverse("undo", args=[village.slug, decision.pk])
    assert undo in page(steward, "desk", village.slug)
    assert steward.post(undo).status_code == 302
    case.refresh_from_db()
    assert case.settled_at is None


def test_an_offset_is_given_in_the_unit_shown_and_kept_in_the_canonical_one(steward, village, mill, case):
    decide(steward, village, case, kind="calibrate", offset="-0.8")
    (made,) = Calibration.objects.filter(channel__station=mill)
    assert made.parameters == {"gain": 1.0, "offset": -0.8}  # a kelvin is as long as a degree Celsius
    assert made.made_by.username == "stella"


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({}, "Choose one of the sentences."),
        ({"kind": "approve"}, "Choose one of the sentences."),
        ({"kind": "ask"}, "Say what you would like to know"),
        ({"kind": "change_unit"}, "Say which unit"),
        ({"kind": "calibrate", "offset": "much"}, "Write the amount as a figure"),
    ],
)
def test_what_cannot_be_decided_is_said_on_the_sheet(steward, village, case, form, says):
    answer = decide(steward, village, case, **form)
    assert answer.status_code == 400
    assert says in answer.content.decode()
    assert not Decision.objects.exists()


def test_a_clock_is_set_right_by_minutes_and_undone(steward, village, mill):
    clock = doubted(mill, variable="", seen_in="air_temperature", check_name="clock", hint="an hour behind")
    Finding.objects.create(
        station=mill, variable="", check_name="clock", spell=BEGAN - 3600, begins_at=BEGAN - 3600,
        ends_at=BEGAN + 3600, strain=9.0, size=3590.0, error=30.0, hint="an hour behind",
    )  # fmt: skip
    words = page(steward, "case", village.slug, clock.pk)
    assert 'name="minutes" value="-60"' in words  # an hour, for that is what clocks are off by
    assert "Every reading would be 60 minutes later" in words
    assert 'value="change_unit"' not in words
    assert decide(steward, village, clock, kind="fix_clock", minutes="-60").status_code == 302
    assert Clock.objects.get(station=mill).fast_by == -3600
    assert "60 minutes behind" in page(steward, "trail", village.slug)
    steward.post(reverse("undo", args=[village.slug, Decision.objects.get().pk]))
    assert not Clock.objects.exists()


def test_readings_are_overruled_over_the_span_that_is_given_in_village_time(steward, village, mill, case):
    decide(steward, village, case, kind="believe", begins="2026-03-27T12:10", ends="2026-03-27T12:30")
    made = Decision.objects.get()
    # Noon in Zurich's winter is 11:00 UTC.
    assert (made.begins_at, made.ends_at) == (BEGAN + 600, BEGAN + 1800)
    answer = decide(
        steward, village, case, kind="believe", begins="2026-03-27T12:30", ends="2026-03-27T12:10"
    )
    assert "The end lies before the beginning" in answer.content.decode()


def test_the_span_as_it_stands_in_the_form_is_all_of_the_case_to_the_second(steward, village, mill, case):
    Case.objects.filter(pk=case.pk).update(begins_at=case.begins_at + 7, ends_at=case.ends_at + 41)
    decide(steward, village, case, kind="keep", begins="2026-03-27T12:00", ends="2026-03-27T13:00")
    made = Decision.objects.get()
    assert (made.begins_at, made.ends_at) == (BEGAN + 7, BEGAN + 3641)


def test_an_offset_that_weeks_have_told_is_proposed_from_the_day_it_began(steward, village, mill, case):
    Case.objects.filter(pk=case.pk).update(check_name="offset")
    Finding.objects.create(
        station=mill, variable="air_temperature", check_name="offset", spell=BEGAN, begins_at=BEGAN + 600,
        ends_at=BEGAN + 3600, strain=3.0, size=1.4, error=0.1,
    )  # fmt: skip
    words = page(steward, "case", village.slug, case.pk)
    assert 'value="calibrate" data-key="6" checked' in words
    assert "With −1.4 °C added from 27 March 2026, 12:10 on" in words
    assert 'name="begins" value="2026-03-27T12:10"' in words


@pytest.mark.parametrize(
    ("check", "kind", "says"),
    [
        ("drift", "set_aside", "It drifts."),
        ("daytime_bias", "set_aside", "Please look at its shield"),
        ("catch", "ask", "Please look into the funnel"),
        ("rotor_start", "ask", "Please watch the rotor from the ground"),
    ],
)
def test_what_no_arithmetic_mends_is_for_the_keeper_with_the_words_prepared(
    steward, village, mill, case, check, kind, says
):
    Case.objects.filter(pk=case.pk).update(check_name=check, hint="less than a half")
    words = page(steward, "case", village.slug, case.pk)
    assert re.search(rf'value="{kind}" data-key="\d" checked', words)
    assert says in words


def test_one_decision_may_be_the_same_for_all_that_show_it_at_once(steward, village, mill):
    both = [doubted(station, at_once=2) for station in Station.objects.of(village)]
    assert "The same for all 2 stations" in page(steward, "case", village.slug, both[0].pk)
    decide(steward, village, both[0], kind="believe", for_all="on", reason="A front.")
    assert {made.station for made in Decision.objects.all()} == {case.station for case in both}
    assert not Case.objects.open().exists()


def test_where_nobody_has_an_account_the_question_is_offered_as_a_letter(steward, village, mill, case):
    words = page(steward, "case", village.slug, case.pk)
    letter = reverse("letter", args=[village.slug, case.pk])
    assert "Nobody of this household has an account." in words
    assert letter in words
    decide(steward, village, case, kind="ask", reason="Was it moved?")
    told = page(steward, "letter", village.slug, case.pk)
    assert "To the household Mill" in told
    assert "Was it moved?" in told
    assert "read 41.2 °C" in told
    assert "With an account" in told


def test_a_household_with_an_account_is_asked_by_notice(steward, keeper, village, mill, case):
    assert "Nobody of this household" not in page(steward, "case", village.slug, case.pk)
    assert "With an account" not in page(steward, "letter", village.slug, case.pk)


def test_a_variable_that_is_derived_offers_no_unit_and_no_offset(steward, village, mill):
    words = page(steward, "case", village.slug, doubted(mill, variable="dew_point").pk)
    assert 'value="keep"' in words
    assert 'value="change_unit"' not in words
    assert 'value="calibrate"' not in words


def test_the_likeliest_decision_is_chosen_beforehand_with_its_reason(steward, village, mill):
    case = doubted(mill, check_name="range_end", expected=298.15, tolerance=25.0)
    words = page(steward, "case", village.slug, case.pk)
    assert 'value="keep" data-key="1" checked' in words
    assert "The instrument is at the end of what it can say" in words


def test_the_address_of_a_case_that_was_mended_leads_to_the_decision_that_did_it(
    steward, village, mill, case
):
    decide(steward, village, case, kind="change_unit", unit="[degF]")
    address = reverse("case", args=[village.slug, case.pk])
    case.delete()  # as the worker does when nothing is in doubt any more
    answer = steward.get(address)
    assert answer.url == (
        f"{reverse('trail', args=[village.slug])}?station={mill.pk}#decision-{Decision.objects.get().pk}"
    )
    assert steward.get(reverse("case", args=[village.slug, 10_000])).status_code == 404


def test_other_cases_of_the_same_time_and_earlier_decisions_are_on_the_sheet(steward, village, mill, case):
    other = doubted(mill, variable="wind_speed", verdict=DOUBTFUL)
    decide(steward, village, other, kind="keep", reason="Ice on the cups.")
    words = page(steward, "case", village.slug, case.pk)
    assert reverse("case", args=[village.slug, other.pk]) in words
    assert "wind speed since 27 Mar, 12:00</a> (settled)" in words  # two of one variable are told apart
    assert "Ice on the cups." in words
