"""What each sentence of a case's sheet would change, and the words that go with it."""

import re

import pytest

from network.models import Case, Comparison, Decision, Observation
from tests.network.web.test_desk import BEGAN, page
from tests.network.web.test_desk import mill as mill
from tests.network.web.test_desk import steward as steward
from tests.network.web.test_desk import village as village
from tests.network.web.test_desk_case import GOOD, decide
from tests.network.web.test_desk_case import case as case


def test_what_each_decision_would_change_stands_beside_it(steward, village, case):
    words = page(steward, "case", village.slug, case.pk)
    assert "13 readings would become good and stand in the maps again." in words
    assert "Nothing changes: what is in doubt is wrong already." in words
    assert "13 wrong readings stay so" in words


def test_what_is_set_aside_counts_from_the_day_given_with_all_that_is_worked_out_from_it(
    steward, village, mill, case
):
    later = Observation.objects.filter(station=mill, observed_at__gt=BEGAN)
    later.update(air_temperature_mark=GOOD, dew_point=280.0, dew_point_mark=GOOD)
    words = page(steward, "case", village.slug, case.pk)
    # Of thirteen reports of five minutes the first is wrong; each of the others holds two mapped values.
    assert "24 good values since then would leave the maps" in words
    assert "With it goes the dew point, worked out from it." in words
    asked = {"kind": "set_aside", "begins": "2026-03-27T12:30", "look": "1"}
    assert "14 good values since then" in decide(steward, village, case, **asked).content.decode()


def test_work_on_a_station_says_how_many_readings_it_is_the_reason_of(steward, village, mill, case):
    assert "13 readings would be wrong for that reason" in page(steward, "case", village.slug, case.pk)
    Observation.objects.filter(station=mill, observed_at__gt=BEGAN + 2700).update(air_temperature_mark=GOOD)
    words = page(steward, "case", village.slug, case.pk)
    assert "13 readings, 3 of them newly, would be wrong for that reason" in words


@pytest.mark.parametrize(
    ("kind", "written", "told"),
    [
        ("set_aside", None, "It is too warm in sunshine."),
        ("ask", None, "It is too warm in sunshine."),
        ("believe", None, ""),
        ("maintenance", None, ""),
        ("believe", "I stood beside it.", "I stood beside it."),
    ],
)
def test_words_prepared_for_one_decision_are_not_told_the_keeper_with_its_contrary(
    steward, village, mill, case, kind, written, told
):
    Case.objects.filter(pk=case.pk).update(check_name="daytime_bias")
    sheet = page(steward, "case", village.slug, case.pk)
    (prepared,) = re.findall(r'name="prepared" value="([^"]+)"', sheet)
    assert f'name="reason" maxlength="300" value="{prepared}"' in sheet
    decide(steward, village, case, kind=kind, prepared=prepared, reason=written or prepared)
    assert Decision.objects.get().reason.startswith(told)
    assert bool(Decision.objects.get().reason) == bool(told)


def test_a_unit_tried_out_tells_what_would_change_and_saves_nothing(steward, village, case):
    answer = decide(steward, village, case, kind="change_unit", unit="[degF]", look="1")
    assert answer.status_code == 200
    assert "Read as °F, " in answer.content.decode()
    assert not Decision.objects.exists()


def test_the_sheet_shows_the_departures_the_scorecard_and_the_neighbours_behind_it(
    steward, village, mill, case
):
    begins, frames = BEGAN - 36 * 600, range(43)
    for n in frames:
        Comparison.objects.create(
            station=mill, at=begins + 600 * n, air_temperature=13.2, air_temperature_error=0.3
        )
    for n in range(-12, 13):
        Observation.objects.create(
            station=village.households.get(name="Brook").stations.get(), observed_at=BEGAN + 300 * n,
            air_temperature=301.15, air_temperature_mark=GOOD,
        )  # fmt: skip
    words = page(steward, "case", village.slug, case.pk)
    # As constructed: 13.2 K above what the neighbours lead one to expect, in every frame of the case.
    assert '<td class="number">+13.2 °C</td>' in words
    assert "Beside its neighbours, its air temperature reads 13.2 °C warm" in words
    assert 'class="line pale"' in words
    tried = decide(steward, village, case, kind="calibrate", offset="-13.2", look="1").content.decode()
    tried = tried.replace("\N{NO-BREAK SPACE}", " ")
    assert "the median departure goes from +13.2 °C to 0.0 °C" in tried
    assert "under the decision below" in tried


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({"kind": "believe", "begins": "2026-03-28T12:00", "ends": "2026-03-28T13:00"}, "None of this case’s readings"),
        ({"kind": "believe", "begins": "0001-01-01T00:00"}, "Choose a time after 1970"),
        ({"kind": "believe", "ends": "9999-12-31T23:59"}, "Choose an end within a day from now"),
        ({"kind": "calibrate", "offset": "-1", "ends": "2026-03-01T00:00"}, "The end lies before the beginning"),
        ({"kind": "change_unit", "unit": "furlong"}, "Choose one of the units in the list."),
    ],
)  # fmt: skip
def test_nobody_decides_about_readings_that_are_not_of_the_case_or_have_not_come_yet(
    steward, village, case, form, says
):
    answer = decide(steward, village, case, **form)
    assert answer.status_code == 400
    assert says in answer.content.decode()
    assert decide(steward, village, case, look="1", **form).status_code in (200, 400)
    assert not Decision.objects.exists()
