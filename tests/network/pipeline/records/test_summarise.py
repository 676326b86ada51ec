"""Hours and village days, with the counts behind every figure."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.models import Summary
from tests.network.pipeline.told import rows_of, verdicts, village_of
from tests.village import five_minutes

pytestmark = pytest.mark.django_db
ZURICH = ZoneInfo("Europe/Zurich")


def day(year, month, date):
    return int(datetime(year, month, date, tzinfo=ZURICH).timestamp())


@pytest.mark.parametrize(
    "begin, date, hours",
    [
        ("2026-03-27T23:00", (2026, 3, 29), 23),
        ("2025-10-24T22:00", (2025, 10, 26), 25),
        ("2026-04-08T22:00", (2026, 4, 10), 24),
    ],
)
def test_a_village_day_has_23_24_or_25_hours(begin, date, hours):
    # Directive 2000/84/EC: summer time begins on the last Sunday of March and ends on the last of October.
    village_of(3, five_minutes(begin, 3.1))
    one = Summary.objects.get(
        span="day", begins_at=day(*date), variable="air_temperature", station__name="Brook"
    )
    assert one.reports == hours * 12
    following = Summary.objects.filter(span="day", begins_at__gt=one.begins_at).order_by("begins_at").first()
    assert following.begins_at - one.begins_at == hours * 3600


def test_an_hour_is_made_of_the_readings_that_end_within_it():
    times = five_minutes("2026-04-10", 0.5)
    village = village_of(3, times)
    rows, hour = rows_of(village, "Brook"), int(times[0]) - 300 + 7200
    inside = (rows.at > hour) & (rows.at <= hour + 3600) & (verdicts(village, "Brook") == 0)
    one = Summary.objects.get(span="hour", begins_at=hour, variable="air_temperature", station__name="Brook")
    said = rows.columns["air_temperature"][inside]
    assert (one.good, one.reports, one.total) == (inside.sum(), 12, None)
    assert_allclose([one.mean, one.low, one.high], [said.mean(), said.min(), said.max()], rtol=1e-6)


def test_rain_has_a_total():
    times = five_minutes("2026-04-10", 0.5)
    falls = {name: lambda times: {"rain": np.full(len(times), 0.2)} for name in ("Brook", "Mill", "Green")}
    village_of(3, times, ("air_temperature", "rain_amount"), changed=falls)
    hour = int(datetime(2026, 4, 10, 3, tzinfo=UTC).timestamp())
    one = Summary.objects.get(span="hour", begins_at=hour, variable="rain_amount", station__name="Brook")
    assert one.total == pytest.approx(2.4, abs=1e-5)  # twelve reports of 0.2 mm


def test_an_hour_with_too_few_good_readings_has_counts_and_no_figures():
    def half_silent(times):
        return {"t": np.where(np.arange(len(times)) % 2, np.nan, 8.0 + np.arange(len(times)) % 5 * 0.3)}

    times = five_minutes("2026-04-10", 0.5)
    village_of(3, times, ("air_temperature", "relative_humidity"), changed={"Brook": half_silent})
    hours = Summary.objects.filter(span="hour", variable="air_temperature", station__name="Brook")
    assert hours.exists()
    assert all(one.mean is None and one.reports <= 6 and one.good <= one.reports for one in hours)
