"""What the long run looks at of a station whose thermometer speaks another unit: readings invented, the factors real."""

import numpy as np
import pytest
from django.db import transaction

from network.pipeline.ledger import blocks
from network.pipeline.neighbours import weeks
from network.pipeline.settle import settle
from stations.models import Station
from tests.network.made_village import NAMES, Report, deliver, found_village, observations, settle_station
from tests.village import five_minutes

TIMES = five_minutes("2026-04-05", 4)[1::2]
FALSE = "Green"
SINCE = int(TIMES[0]) + 2 * 86400

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def village(django_db_setup, django_db_blocker):
    """Six stations, one of which says degrees Fahrenheit from the third day on; rolled back."""
    with django_db_blocker.unblock(), transaction.atomic():
        village = found_village()
        for name in NAMES[:6]:
            station = settle_station(village, name, report_every=600)
            said = observations(station, TIMES)
            if name == FALSE:
                said = [
                    one | {"t": round(one["t"] * 1.8 + 32, 1)} if one["time"] > SINCE else one for one in said
                ]
            deliver([Report(station.pk, tuple(said[i : i + 144])) for i in range(0, len(said), 144)])
        settle()
        yield village
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def record(village, django_db_blocker):
    with django_db_blocker.unblock():
        seen = weeks.records(village, int(TIMES[0]) // blocks.FRAME * blocks.FRAME, int(TIMES[-1]))
        return next(one for one in seen if one.station == Station.objects.get(name=FALSE).pk)


def test_what_is_in_another_unit_is_no_reading_of_the_thermometer(record):
    late = record.seconds > SINCE + 6 * 3600
    assert np.isnan(record.values["air_temperature"][late]).mean() > 0.95
    assert np.isfinite(record.values["air_temperature"][record.seconds < SINCE]).all()


def test_a_sound_barometer_stays_sound_beside_it():
    true, false, pressure, elevation = 283.15, 323.15, 97000.0, 350.0
    # By the hydrostatic equation the reduction is g h / R T, so that 40 K change it by some 5 hPa.
    said, should = (
        pressure * np.exp(9.80665 * elevation / (287.05 * (air + 0.0065 * elevation / 2)))
        for air in (false, true)
    )
    assert 450.0 < should - said < 550.0
    own = {
        "station_pressure": np.array([pressure]),
        "air_temperature": np.array([np.nan]),
        "air_temperature as said": np.array([false]),
        "dew_point as said": np.array([np.nan]),
        "sea_level_pressure as said": np.array([said]),
    }
    table = {
        "air_temperature": np.array([false - true]),
        "dew_point": np.array([np.nan]),
        "sea_level_pressure": np.array([said - should]),
    }
    weeks._reduce(own, table, elevation)
    assert abs(table["sea_level_pressure"][0]) < 10.0
    assert abs(own["sea_level_pressure"][0] - should) < 10.0
