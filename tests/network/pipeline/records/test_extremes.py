"""What a village has measured lately, and the warning that follows from it while an instrument is described."""

import time

import pytest
from django.urls import reverse

from network.models import Summary
from network.pipeline.records.extremes import record
from stations.climate import complaint
from stations.models import Station
from tests.stations.conftest import homes, keeper  # noqa: F401

DAY = 86400


@pytest.fixture
def winter(homes) -> None:  # noqa: F811
    """Four hundred days at 8 °C with one night at -11.2 °C, good readings of a live station."""
    homes.live()
    today = int(time.time()) // DAY * DAY
    Summary.objects.bulk_create(
        Summary(
            station=homes.station, span="day", begins_at=today - DAY * back, variable="air_temperature",
            low=261.95 if back == 200 else 281.15, high=290.0, good=288, reports=288,
        )
        for back in range(399)
    )  # fmt: skip


def test_the_record_is_the_coldest_of_the_public_stations_days(homes, winter):  # noqa: F811
    known = record(homes.village, "air_temperature")
    assert known.whole_year
    assert known.low is not None
    assert round(known.low.value, 2) == 261.95
    assert record(homes.village, "rain_amount").low is None


def test_a_draft_adds_nothing_to_the_record(homes, winter):  # noqa: F811
    Station.objects.update(state="draft", counts_from=None)
    assert record(homes.village, "air_temperature").low is None


def test_the_warning_is_told_while_the_range_is_typed(homes, keeper, winter):  # noqa: F811
    add = reverse("register-instrument-add", args=[homes.station.pk, "air_temperature"])
    told = keeper.post(add, {"range_low": "0", "range_high": "50", "preview": "1"}).content.decode()
    assert "This one ends at 0 °C; the village’s own record fell to −11.2 °C on" in told
    assert "<html" not in told
    assert "caution" not in keeper.post(add, {"range_low": "-40", "preview": "1"}).content.decode()
    assert "Not for this place" in keeper.get(add).content.decode()


def test_a_whole_years_record_is_believed_against_the_rule(homes, winter):  # noqa: F811
    from network.science.variables import VARIABLES

    air = VARIABLES["air_temperature"]
    Summary.objects.filter(low__lt=270).delete()
    # By the rule of thumb it might fall to −14 °C here; by its own record it has not fallen below 8 °C.
    assert complaint(air, 273.15, 323.15, homes.village, homes.station.placements.get()) == ""
    Summary.objects.filter(begins_at__lt=time.time() - 60 * DAY).delete()
    assert "coarse rule" in complaint(air, 273.15, 323.15, homes.village, homes.station.placements.get())
