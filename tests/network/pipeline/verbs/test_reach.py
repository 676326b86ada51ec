"""How far a decision reaches: what it marks to be computed again, and what it leaves alone."""

import time

import pytest
from django.db.models import F

from network.models import Case, Decision, Observation, Work
from network.pipeline.ledger import blocks
from network.pipeline.verbs import decisions
from tests.network.made_village import Report, deliver, make_village
from tests.network.pipeline.doubted import steward_of, the_mill

Kind = Decision.Kind
WRONG = 3  # BUFR code table 0 33 020

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("kind", "given", "judged_anew"),
    [
        (Kind.KEEP, {}, []),
        (Kind.BELIEVE, {}, [-3, -2]),
        (Kind.REJECT, {}, [-3, -2]),
        (Kind.MAINTENANCE, {}, [-3, -2]),
        (Kind.SET_ASIDE, {}, [-3, -2, -1, 0, 1]),
        (Kind.CALIBRATE, {"offset": -1.0}, [-3, -2, -1, 0, 1]),
        (Kind.CHANGE_UNIT, {"unit": "[degF]"}, [-3, -2, -1, 0, 1]),
        (Kind.FIX_CLOCK, {"fast_by": 3600}, [-3, -2, -1, 0, 1]),
    ],
)
def test_a_decision_about_an_hour_marks_the_days_it_reaches_and_no_others(kind, given, judged_anew):
    village = make_village(2, ("air_temperature",))
    mill, day = the_mill(), blocks.DAY
    today = blocks.block_of(time.time() - day)
    noons = [today + n * day + day // 2 for n in range(-30, 1)]
    for noon in noons:
        deliver([Report(mill.pk, ({"time": noon + n * 600, "t": 5.0},)) for n in range(7)])
        Observation.objects.create(
            station=mill, observed_at=noon, air_temperature=278.15, air_temperature_mark=WRONG
        )
    Work.objects.all().delete()
    begins = today - 3 * day + day // 2
    case = Case.objects.create(
        station=mill, variable="" if kind == Kind.FIX_CLOCK else "air_temperature", seen_in="air_temperature",
        check_name="clock" if kind == Kind.FIX_CLOCK else "departure", begins_at=noons[0], ends_at=noons[-1],
        readings=31, verdict=WRONG, strain=9.0, weight=1.0,
    )  # fmt: skip
    decisions.settle(case, kind, steward_of(village), span=(begins, begins + 3600), **given)
    marked = Work.objects.order_by("block").values_list("stage", (F("block") - today) / day)
    at = {stage: [n for one, n in marked if one == stage] for stage in Work.Stage.values}
    # The checks look a day back. What is mended or set aside is so from then on, up to now.
    assert [n for n in at[Work.Stage.CHECK] if n < 2] == judged_anew
    # Only where its metadata changed are reports understood anew.
    assert [n for n in at[Work.Stage.NORMALISE] if n < 2] == (judged_anew if given else [])
    assert min(at[Work.Stage.RAISE_CASES]) == -3
