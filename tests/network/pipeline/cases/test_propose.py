"""The likeliest decision, and what it would come to, told before anything is saved."""

import numpy as np
import pytest

from network.models import Decision
from network.pipeline.cases.foresee import Foresight
from network.pipeline.cases.propose import propose
from network.pipeline.neighbours.departures import departures_of
from tests.network.pipeline import doubted
from tests.network.pipeline.doubted import doubted_village, the_case
from tests.network.pipeline.state import state
from tests.network.pipeline.verbs.test_decisions import metadata

Kind = Decision.Kind
WRONG = 3  # BUFR code table 0 33 020

pytestmark = pytest.mark.django_db


def test_numbers_that_fit_in_another_unit_are_proposed_to_be_in_it_and_nothing_is_saved():
    doubted_village(doubted.fahrenheit)
    case, before, known = the_case(), state(), metadata()
    proposal = propose(case, departures_of(case))
    assert (proposal.kind, proposal.given) == (Kind.CHANGE_UNIT, {"unit": "[degF]"})
    foreseen = Foresight(case).of(proposal.kind, **proposal.given)
    # By construction: at some 5 °C a thermometer that sends Fahrenheit as Celsius reads more than 30 K high.
    assert foreseen.before.median > 30
    assert abs(foreseen.after.median) < 0.5
    assert foreseen.after.fitting == len(foreseen.after)
    assert state() == before
    assert metadata() == known


def test_a_steady_departure_is_proposed_to_be_taken_off():
    doubted_village(doubted.reads_high)
    case = the_case()
    proposal = propose(case, departures_of(case))
    assert proposal.kind == Kind.CALIBRATE
    # It reads 8.0 degrees high by construction; the neighbours know it to a degree or so.
    assert proposal.given["offset"] == pytest.approx(-8.0, abs=1.0)
    foreseen = Foresight(the_case()).of(proposal.kind, **proposal.given)
    assert foreseen.after.median == pytest.approx(0.0, abs=1e-6)
    assert foreseen.after.fitting > foreseen.before.fitting


def test_a_departure_that_comes_and_goes_is_for_the_keeper_to_explain():
    village_hour = iter(range(144))
    doubted_village(lambda said: said + (9.0 if next(village_hour) % 48 < 12 else 0.0))
    case = the_case()
    assert propose(case, departures_of(case)).kind == Kind.ASK


def test_the_readings_that_would_change_are_counted_by_verdict():
    doubted_village(doubted.reads_high)
    case = the_case()
    believed, rejected = Foresight(case).of(Kind.BELIEVE), Foresight(case).of(Kind.REJECT)
    assert believed.change == sum(n for verdict, n in believed.verdicts.items() if verdict != 0)
    assert rejected.change == sum(n for verdict, n in rejected.verdicts.items() if verdict not in (0, WRONG))
    assert Foresight(case).of(Kind.KEEP).change == 0


def test_departures_of_a_case_are_the_construction_put_into_it():
    doubted_village(doubted.reads_high)
    departures = departures_of(the_case())
    assert np.median(departures.departure) == pytest.approx(8.0, abs=1.0)
    assert len(departures) > 100
