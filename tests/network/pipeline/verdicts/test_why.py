"""What every check saw in one reading, worked out again: it agrees with the verdict that is stored."""

import numpy as np
import pytest

from network.pipeline.settle import settle
from network.pipeline.verbs import decisions
from network.pipeline.verdicts.steward import STEWARD
from network.pipeline.verdicts.why import why
from network.quality.verdict import DOUBTFUL_AT, WRONG_AT, reasons_of
from stations.models import Station
from tests.network.pipeline import doubted
from tests.network.pipeline.doubted import doubted_village, steward_of, the_case, the_mill

GOOD, DOUBTFUL, WRONG = 0, 2, 3  # BUFR code table 0 33 020
AT = int(doubted.TIMES[60])

pytestmark = pytest.mark.django_db


def loaded() -> Station:
    return Station.objects.select_related("household__village").get(pk=the_mill().pk)


def test_the_verdict_follows_from_what_the_checks_saw():
    doubted_village(doubted.reads_high)
    seen = why(loaded(), "air_temperature", AT + 200)
    assert seen.at == AT
    stored = doubted.rows(the_mill(), "air_temperature_mark").astype(np.int64)[60]
    assert seen.mark == seen.by_checks == stored
    assert {one.check.name for one in seen.reasons if one.counted} == set(reasons_of(int(stored)))
    departure = next(one for one in seen.reasons if one.check.name == "departure")
    # It reads 8.0 degrees high by construction; the neighbours know it to a degree or so.
    assert departure.observed - departure.expected == pytest.approx(8.0, abs=1.5)
    total = sum(one.weight for one in seen.weighed)
    assert {GOOD: total < DOUBTFUL_AT, DOUBTFUL: DOUBTFUL_AT <= total < WRONG_AT, WRONG: total >= WRONG_AT}[
        int(stored) & 7
    ]
    assert (seen.before, seen.after) == (AT - 600, AT + 600)


def test_what_the_checks_saw_stays_to_be_read_beside_the_stewards_word():
    village = doubted_village(doubted.reads_high)
    decisions.settle(the_case(), "believe", steward_of(village))
    settle()
    seen = why(loaded(), "air_temperature", AT)
    assert seen.by_checks & 7 == WRONG
    assert (seen.mark & 7, bool(seen.mark & STEWARD)) == (GOOD, True)


def test_a_time_at_which_it_said_nothing_has_no_answer():
    doubted_village(lambda said: said)
    assert why(loaded(), "air_temperature", AT - 30 * 86400) is None
    assert why(loaded(), "wind_speed", AT) is None
