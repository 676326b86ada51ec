"""Taking reports in: once each, with times that can be, in the tongue of their station."""

from datetime import UTC, datetime

import numpy as np
import pytest

from network.models import Observation, Report
from network.models.storage import read
from network.pipeline.intake.receive import Receipt, Sender, receive
from network.pipeline.metadata.tongue import Tongue
from network.pipeline.reports.hear import hear
from network.pipeline.settle import settle
from network.wire.limits import Refusal
from stations.models import Clock, Station
from tests.network.made_village import FOUNDED, channel, make_village
from tests.wire import rfc8428

FORM, SENML = "application/x-www-form-urlencoded", "application/senml+json"
NOON = datetime(2025, 6, 1, 12, tzinfo=UTC).timestamp()


@pytest.fixture
def station(db: None) -> Station:
    return Station.objects.of(make_village(1)).get()


def said_at(station: Station, *moments: float, body: bytes = b"t=21.4") -> list[bool]:
    answers = [receive(Sender.of(station), body, FORM, at) for at in moments]
    return [answer.new for answer in answers if isinstance(answer, Receipt)]


class TestBoardsWithoutAClock:
    @pytest.mark.parametrize("after", [0.5, 1, 20, 59])
    def test_the_same_text_soon_after_repeats_itself(self, station, after):
        for start in np.arange(NOON, NOON + 60, 7.3):
            assert said_at(station, start, start + after, body=b"t=%.1f" % start) == [True, False]

    @pytest.mark.parametrize("after", [61, 90, 119, 300])
    def test_the_same_text_a_minute_later_is_a_new_observation(self, station, after):
        for start in np.arange(NOON, NOON + 60, 7.3):
            assert said_at(station, start, start + after, body=b"t=%.1f" % start) == [True, True]

    @pytest.mark.parametrize("every", [10, 30, 60, 120])
    def test_steady_weather_loses_no_report_of_a_board_that_reports_often(self, station, every):
        station.report_every = every
        moments = NOON + every * np.arange(20) + np.tile([0.0, 1.5], 10)  # a little late now and then
        assert said_at(station, *moments) == [True] * 20

    def test_the_moment_of_receipt_is_the_moment_observed(self, station):
        receive(Sender.of(station), b"t=21.4", FORM, NOON + 0.4)
        receive(Sender.of(station), b"age=300&t=20", FORM, NOON + 0.4)
        heard = hear(Tongue.of(station), Report.objects.all()).heard
        assert sorted(int(at) - int(NOON) for one in heard for at in one.seconds) == [-300, 0]


class TestTimes:
    @pytest.mark.parametrize(("ahead", "taken"), [(0, True), (600, True), (601, False), (86400, False)])
    def test_ten_minutes_ahead_is_the_most(self, station, ahead, taken):
        answer = receive(Sender.of(station), b"time=%d&t=1" % (NOON + ahead), FORM, NOON)
        assert isinstance(answer, Receipt) is taken

    @pytest.mark.parametrize(
        ("said", "taken"), [(b"1999-12-31T23:59:59Z", False), (b"2000-01-01T00:00:00Z", True)]
    )
    def test_the_year_2000_is_the_first(self, station, said, taken):
        answer = receive(Sender.of(station), b"time=%s&t=1" % said, FORM, NOON)
        assert isinstance(answer, Receipt) is taken

    def test_a_report_refused_for_its_time_is_taken_once_the_time_has_come(self, station):
        body = b"time=%d&t=1" % (NOON + 700)
        assert isinstance(receive(Sender.of(station), body, FORM, NOON), Refusal)
        assert receive(Sender.of(station), body, FORM, NOON + 200).new
        assert Report.objects.exclude(problem="").count() == Report.objects.filter(problem="").count() == 1

    def test_a_local_time_belongs_to_the_zone_of_its_day(self, station):
        # Zurich is an hour ahead of UTC in winter and two in summer (tz database).
        Clock.objects.create(station=station, zone="Europe/Zurich", begins_at=FOUNDED)
        receive(Sender.of(station), b"time=2025-01-15T12:00:00&t=1", FORM, NOON)
        receive(Sender.of(station), b"time=2025-05-15T12:00:00&t=1", FORM, NOON)
        spoken = Report.objects.order_by("pk").values_list("first_at", flat=True)
        assert [datetime.fromtimestamp(at, UTC).hour for at in spoken] == [11, 10]


def test_a_relative_humidity_of_rfc_8428_arrives_in_the_database(station):
    # RFC 8428, section 5.1.2, the stream: 21.2 %RH at 1320067464 s, 21.7 % eighty seconds later.
    humidity = station.channels.get(name="rh")
    humidity.name, humidity.begins_at = "10e2073a01080063", datetime(2011, 1, 1, tzinfo=UTC)
    humidity.save()
    assert receive(Sender.of(station), rfc8428.STREAM.encode(), SENML, NOON).readings == 9
    settle()
    rows = read(Observation, [station.pk], 1320067464, 1320067545, ["relative_humidity"])
    assert rows.at.tolist() == list(range(1320067464, 1320067545, 10))
    np.testing.assert_allclose(
        rows.columns["relative_humidity"],
        np.array([21.2, 21.3, 21.4, 21.4, 21.5, 21.5, 21.5, 21.6, 21.7]) / 100,
        rtol=1e-6,
    )


def test_a_channel_nobody_knew_speaks_once_it_is_known(station):
    receive(Sender.of(station), b"time=%d&lux=5&sun=640" % NOON, FORM, NOON)
    assert hear(Tongue.of(station), Report.objects.all()).unknown == {"lux": 5.0, "sun": 640.0}
    channel(station, "irradiance")
    settle()
    rows = read(Observation, [station.pk], int(NOON), int(NOON) + 1, ["irradiance"])
    assert rows.columns["irradiance"].tolist() == [640.0]


@pytest.mark.parametrize("value", [b"1e300", b"-1e300"])
def test_a_number_beyond_single_precision_upsets_nothing(station, value, client):
    receive(Sender.of(station), b"time=%d&t=%s&rh=50" % (NOON, value), FORM, NOON)
    settle()
    asked = {"from": "2025-06-01T11:00:00Z", "to": "2025-06-01T13:00:00Z"}
    answer = client.get(f"/api/stations/{station.pk}/observations", asked)
    readings = answer.json()["observations"][0]["readings"]
    assert readings["relative_humidity"]["value"] == 50
    assert readings["air_temperature"]["verdict"] in ("wrong", "missing")


@pytest.mark.django_db
def test_a_clock_known_to_be_half_an_hour_fast_can_report():
    station = Station.objects.of(make_village(1, ("air_temperature",))).get()
    now, body = 1_790_000_000.0, b'{"time": 1790001800, "t": 5.0}'
    refused = receive(Sender.of(station), body, "application/json", now)
    assert isinstance(refused, Refusal) and refused.status == 422
    Clock.objects.create(station=station, begins_at=FOUNDED, fast_by=1800)
    kept = receive(Sender.of(station), body + b" ", "application/json", now)
    assert isinstance(kept, Receipt) and kept.readings == 1
    settle()
    assert Observation.objects.get(station=station).observed_at == now
