"""What comes first on the desk: harm times confidence, over as many readings."""

import pytest

from network.models import Case
from stations.models import Station
from tests.network.pipeline.cases.test_raise_cases import DOUBTFUL, WRONG, look, saw
from tests.network.pipeline.cases.test_raise_cases import mill as mill
from tests.network.pipeline.cases.test_raise_cases import village as village


def test_the_heavier_case_comes_first_on_the_desk(village, mill):
    brook = Station.objects.get(name="Brook")
    saw(brook, 0.0, 1.0, verdict=DOUBTFUL)
    saw(mill, 0.0, 5.0)
    look(village)
    assert [case.station for case in Case.objects.of(village).open()] == [mill, brook]


@pytest.mark.parametrize(
    ("lighter", "heavier"),
    [
        ([{"variable": "dew_point"}], [{"variable": "rain_amount"}]),
        ([{"variable": "wind_speed"}], [{"variable": "air_temperature"}]),
        ([{"verdict": DOUBTFUL}], [{"verdict": WRONG}]),
        ([{"verdict": DOUBTFUL}], [{"verdict": DOUBTFUL}, {"verdict": DOUBTFUL, "check_name": "step"}]),
    ],
)
def test_of_faults_as_long_the_more_harmful_and_the_surer_comes_first(village, mill, lighter, heavier):
    brook = Station.objects.get(name="Brook")
    for station, seen in ((brook, lighter), (mill, heavier)):
        for one in seen:
            saw(station, 0.0, 4.0, **one)
    look(village)
    assert [case.station for case in Case.objects.of(village).open()] == [mill, brook]
