"""Every reading gets its verdict from all the evidence: weather is believed, a lone false station is found."""

import numpy as np
import pytest

from network.models import Case, Evidence
from network.pipeline.settle import settle
from network.pipeline.verbs.decisions import settle as decide
from network.quality.verdict import DOUBTFUL, GOOD, UNCHECKED, WRONG, reasons_of
from stations.models import Station
from tests.network.pipeline.told import rows_of, verdicts, village_of
from tests.village import STATIONS, five_minutes

pytestmark = pytest.mark.django_db
DAY = five_minutes("2026-04-10", 1)


def bad(verdict):
    return np.isin(verdict, (DOUBTFUL, WRONG))


def truth_at(place, times):
    """Air temperature [°C] at one of the known places."""
    return STATIONS.truth(times)["air_temperature"][place] - 273.15


def test_a_front_that_crosses_the_village_raises_no_case():
    # Six kelvin in ten minutes, three minutes apart from place to place: as sharp as cold fronts are
    # (common practice: 5 to 10 K within minutes at the surface).
    def falls(place):
        passes = DAY[150] + 180 * place
        return lambda times: {
            "t": np.round(truth_at(place, times) - 6 * np.clip((times - passes) / 600, 0, 1), 1)
        }

    names = ("Brook", "Mill", "Green", "Orchard", "School")
    village = village_of(5, DAY, changed={name: falls(i) for i, name in enumerate(names)})
    assert not Case.objects.exists()
    for name in names:
        assert bad(verdicts(village, name)).mean() < 0.02, name


def test_the_invented_weather_is_believed():
    variables = ("air_temperature", "station_pressure", "wind_speed", "wind_gust")
    village = village_of(5, DAY, variables)
    assert not Case.objects.exists(), list(Case.objects.all())
    for variable in variables:
        assert (verdicts(village, "Green", variable) == GOOD).mean() > 0.98, variable


def test_a_lone_false_station_is_found_while_the_others_stay_good():
    village = village_of(
        5, DAY, changed={"Green": lambda times: {"t": np.round(truth_at(2, times) + 7.0, 1)}}
    )
    assert bad(verdicts(village, "Green")).mean() > 0.95
    for name in ("Brook", "Mill", "Orchard", "School"):
        assert (verdicts(village, name) == GOOD).mean() > 0.95, name
    assert {case.station.name for case in Case.objects.filter(variable="air_temperature")} == {"Green"}


def test_a_thermometer_at_the_end_of_its_range_is_censored():
    # A cheap humidity and temperature sensor is rated 0 to 50 °C (common practice) and shows 0 in any frost.
    frost = five_minutes("2026-01-18", 1)
    true = truth_at(0, frost)
    assert (true < -1).sum() > 60
    village = village_of(
        5,
        frost,
        changed={"Brook": lambda times: {"t": np.maximum(np.round(true, 1), 0.0)}},
        instruments={"Brook": {"range_low": 273.15, "range_high": 323.15}},
    )
    found = verdicts(village, "Brook")
    assert (found[true < -0.5] == WRONG).all()
    marks = rows_of(village, "Brook").columns["air_temperature_mark"].astype(int)
    assert all("range_end" in reasons_of(mark) for mark in marks[true < -0.5])


def test_two_stations_that_disagree_cannot_say_who_is_right():
    village = village_of(2, DAY, changed={"Mill": lambda times: {"t": np.round(truth_at(1, times) + 7.0, 1)}})
    for name in ("Brook", "Mill"):
        marks = rows_of(village, name).columns["air_temperature_mark"].astype(int)
        assert not any("departure" in reasons_of(mark) for mark in marks), name


def test_a_station_that_does_not_count_yet_is_judged_and_judges_nobody():
    def new(times):
        return {"t": np.round(truth_at(2, times) + 7.0, 1)}

    village = village_of(5, DAY, changed={"Green": new})
    station = Station.objects.of(village).get(name="Green")
    station.state, station.counts_from = "awaiting", None
    station.save()
    settle()
    assert bad(verdicts(village, "Green")).mean() > 0.95
    assert (verdicts(village, "Brook") == GOOD).mean() > 0.95


def test_a_steward_has_the_last_word_over_all_evidence(django_user_model):
    village = village_of(
        5, DAY, changed={"Green": lambda times: {"t": np.round(truth_at(2, times) + 7.0, 1)}}
    )
    case = Case.objects.filter(variable="air_temperature").order_by("begins_at").first()
    seen = Evidence.objects.count()
    decide(case, "believe", django_user_model.objects.create_user("steward"))
    settle()
    rows = rows_of(village, "Green")
    within = (rows.at >= case.begins_at) & (rows.at <= case.ends_at)
    assert (verdicts(village, "Green")[within] == GOOD).all()
    assert Evidence.objects.count() >= seen * 0.5  # what the checks saw stays on record


def test_no_reading_is_left_unchecked_once_the_work_is_done():
    village = village_of(3, DAY[:80])
    for name in ("Brook", "Mill", "Green"):
        assert UNCHECKED not in verdicts(village, name)
