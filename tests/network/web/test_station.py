"""The station's page: what it says of a moment, why, and to whom."""

import re
from collections.abc import Callable
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from django.contrib.auth.models import User
from django.test import Client

from network.pipeline.settle import settle
from stations.models import Household, Instrument, Membership, Station, Village
from tests.network.made_village import (
    FOUNDED,
    Report,
    channel,
    deliver,
    found_village,
    make_village,
    observations,
    settle_station,
)
from tests.published.comforts import WIND_CHILL, WIND_CHILL_AT
from tests.published.humidity import MOIST_AIR

ZONE = ZoneInfo("Europe/Zurich")
NOON = int(datetime(2025, 6, 1, 12, tzinfo=ZONE).timestamp())
MORNING = np.arange(NOON - 4 * 3600 + 300, NOON + 1, 300)

Page = Callable[..., str]


@pytest.fixture
def village(db: None) -> Village:
    return found_village()


def report(station: Station, seconds: np.ndarray = MORNING, **said: float | np.ndarray) -> None:
    """Let a station say these values at the times, and let the hub work."""
    each = [
        {"time": int(at)} | {name: float(np.broadcast_to(v, seconds.shape)[i]) for name, v in said.items()}
        for i, at in enumerate(seconds)
    ]
    deliver([Report(station.pk, tuple(each))])
    settle()


def page(station: Station, client: Client | None = None, at: str = "2025-06-01T12:01", **query: str) -> str:
    """The words of the page, without its tags."""
    answer = (client or Client()).get(address(station), {"at": at, **query})
    assert answer.status_code == 200
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return re.sub(r"\s+", " ", text.replace("&nbsp;", " ").replace("\N{NO-BREAK SPACE}", " "))


def address(station: Station, more: str = "") -> str:
    return f"/{station.village.slug}/stations/{station.pk}/{more}"


def keeper(station: Station, role: str = "keeper") -> Client:
    """Somebody of the station's household, signed in."""
    person = User.objects.create_user(f"{role} of {station.pk}")
    Membership.objects.create(household=station.household, person=person, role=role)
    client = Client()
    client.force_login(person)
    return client


def test_the_page_derives_what_the_published_tables_say(village: Village) -> None:
    # WMO-No. 8 Annex 4.B (tests/published/humidity.py): air of 20 °C and 50 % at 1013.25 hPa.
    row = next(row for row in MOIST_AIR if row[:2] == (20, 50))
    vapour, dew_point, wet_bulb = row[4], row[5], row[7]
    station = settle_station(village, "Green", ("air_temperature", "relative_humidity", "station_pressure"))
    report(station, t=20.0, rh=50.0, p=1013.25)
    words = page(station)
    assert f"dew point {dew_point:.1f} °C" in words
    assert f"wet bulb {wet_bulb:.1f} °C" in words
    assert f"vapour pressure {vapour:.1f} hPa" in words


def test_wind_chill_is_the_weather_services_and_defers_to_them(village: Village) -> None:
    chill = WIND_CHILL[20][WIND_CHILL_AT.index(-10)]
    station = settle_station(village, "Ridge", ("air_temperature", "wind_speed"))
    report(station, t=-10.0 + 0.1 * (MORNING // 300 % 3), wind=20 / 3.6 + 0.1 * (MORNING // 300 % 5 - 2))
    words = page(station)
    assert f"wind chill −{-chill:.0f} °C" in words
    assert "They are no warning" in words


def test_wind_chill_and_heat_index_are_not_told_outside_their_range(village: Village) -> None:
    station = settle_station(village, "Ridge", ("air_temperature", "relative_humidity", "wind_speed"))
    report(station, t=15.0 + 0.1 * (MORNING // 300 % 3), rh=60.0, wind=4.0 + 0.2 * (MORNING // 300 % 5))
    words = page(station)
    assert "wind chill" not in words.lower() and "heat index" not in words.lower()


@pytest.mark.parametrize(
    ("hourly", "course"),
    [  # constructed; the courses are those of WMO code table 0200
        ((960.0, 961.5, 961.2, 960.4), "rising, then falling"),
        ((960.0, 959.0, 958.6, 958.6), "falling, then steady or falling more slowly"),
        ((960.0, 960.5, 961.0, 961.5), "rising"),
        ((960.0, 960.0, 960.0, 960.0), "steady"),
    ],
)
def test_the_course_of_pressure_is_told_in_the_words_of_the_code_table(
    village: Village, hourly: tuple[float, ...], course: str
) -> None:
    station = settle_station(village, "Hill", ("air_temperature", "station_pressure"))
    pressure = np.interp(MORNING, NOON - 3600 * np.arange(3, -1, -1), hourly)
    report(station, t=15.0, p=pressure.round(2))
    told = re.search(rf"its change in three hours (\+|−)?([\d.]+) hPa.{{0,40}} {course} ", page(station))
    assert told
    change = float(told[2]) * (-1 if told[1] == "−" else 1)
    # The tendency is that of the pressure at the station's own level (BUFR 0 10 063).
    assert change == pytest.approx(hourly[-1] - hourly[0], abs=0.051)


def test_rain_today_begins_at_the_villages_midnight(village: Village) -> None:
    station = settle_station(village, "Lane", ("rain_amount",))
    midnight = int(datetime(2025, 6, 1, tzinfo=ZONE).timestamp())
    seconds = np.arange(midnight - 3600, NOON + 1, 300)
    # The report that ends at midnight belongs to the day before.
    report(
        station, seconds, rain=np.where(seconds <= midnight, 0.4, np.where(seconds == midnight + 300, 0.6, 0))
    )
    assert "rain today 0.6 mm" in page(station)


def test_a_reading_at_the_end_of_its_range_says_why_and_what_to_do(village: Village) -> None:
    station = settle_station(village, "Mill")
    Instrument.objects.filter(station=station).update(range_low=273.15, range_high=323.15, resolution=0.1)
    report(station, t=0.0)
    words = page(station)
    assert re.search(r"air temperature 0.0 °C wrong since 1 Jun 08:05", words)
    assert "lies at the end of what the instrument can say (0.0 °C to 50.0 °C)" in words
    assert "Not fully believed: air temperature." in words
    assert "an instrument with a wider range would tell" in words


def test_the_hub_tells_a_warm_thermometer_from_its_neighbours(db: None) -> None:
    # Four stations in weather that is known everywhere; one reads 6 K too much, and only that one is doubted.
    village = make_village(6, ("air_temperature",))
    seconds = np.arange(NOON - 12 * 3600 + 300, NOON + 1, 300)
    for station in Station.objects.of(village):
        said = observations(station, seconds)
        if station.name == "Green":
            said = [one | {"t": round(one["t"] + 6, 1)} for one in said]
        deliver([Report(station.pk, tuple(said))])
    settle()
    warm, honest = (page(Station.objects.get(name=name)) for name in ("Green", "Mill"))
    assert re.search(r"air temperature reads [567]\.\d °C warm", warm)
    assert "while the neighbours lead us to expect" in warm
    assert "air temperature agrees with them" in honest
    assert "Not fully believed" not in honest


def test_a_silent_station_says_since_when(village: Village) -> None:
    station = settle_station(village, "Bank")
    report(station, t=15.0)
    words = page(station, at="2025-06-01T20:00")
    assert "Its newest reading was then 8 hours old. This is what it said last." in words
    assert "It has been silent for 8 hours: look at its power and its Wi-Fi." in words


def test_a_new_station_has_its_empty_page(village: Village) -> None:
    words = page(settle_station(village, "Wood"))
    assert "No readings yet. The first usually arrives within ten minutes" in words
    assert "It has not reported yet." in words


def test_each_channel_shows_what_was_sent_and_what_was_understood(village: Village) -> None:
    station = settle_station(village, "School", ())
    channel(station, "air_temperature", unit="[degF]")
    report(station, t=50.0)  # 50 °F are 10 °C, by definition of the scales
    assert "t 50 [degF] air temperature 10.0 °C" in page(station)


def test_unknown_channels_are_told_to_keepers_only(village: Village) -> None:
    station = settle_station(village, "Green")
    report(station, t=15.0, kitchen=21.5)
    assert "kitchen" not in page(station)
    words = page(station, keeper(station))
    assert "kitchen 21.5" in words and "Add a channel of this very name" in words


@pytest.mark.parametrize(
    ("shown", "seen"),
    [
        ("exact", "47.31234° N, 8.91234° E, ground 463 m above the sea"),
        ("rounded", "47.312° N, 8.912° E, ground about 465 m above the sea"),
        ("hidden", "Its household does not show where it stands"),
    ],
)
def test_a_place_is_shown_as_the_household_says(village: Village, shown: str, seen: str) -> None:
    station = settle_station(village, "Orchard", place=(47.31234, 8.91234, 463.0))
    Station.objects.filter(pk=station.pk).update(shown=shown)
    assert seen in page(station)
    assert "463 m" in page(station) or shown != "exact"
    assert "47.31234° N, 8.91234° E" in page(station, keeper(station))


def test_a_draft_is_for_its_keepers_and_stewards(village: Village) -> None:
    station = Station.objects.create(
        household=Household.objects.create(village=village, name="New"), name="New"
    )
    stranger = keeper(settle_station(village, "Mill"))
    assert Client().get(address(station)).status_code == 404
    assert stranger.get(address(station)).status_code == 404
    assert keeper(station).get(address(station)).status_code == 200
    assert keeper(settle_station(village, "Hill"), "steward").get(address(station)).status_code == 200


def test_refused_reports_and_key_endings_are_for_keepers(village: Village) -> None:
    station = settle_station(village, "Mill")
    key, secret = station.keys.model.issue(station)
    Client().post(
        "/api/reports", "{broken", content_type="application/json", headers={"x-device-key": secret}
    )
    where = address(station, "reports/")
    answer = Client().get(where)
    assert (answer.status_code, answer["Location"].partition("?")[0]) == (302, "/sign-in/")
    assert keeper(settle_station(village, "Hill")).get(where).status_code == 404
    words = keeper(station).get(where).content.decode()
    assert "The JSON breaks off at character 2" in words
    assert f"…{key.ending}" in words and secret not in words


@pytest.mark.parametrize("query", ["at=yesterday", "day=2025-13-01", "span=decade", "at=99999999999999"])
def test_a_time_that_is_none_is_not_found(village: Village, query: str) -> None:
    assert Client().get(f"{address(settle_station(village, 'Mill'))}?{query}").status_code == 404


@pytest.mark.parametrize("span", ["day", "week", "month", "year"])
def test_every_chart_has_its_table(village: Village, span: str) -> None:
    station = settle_station(village, "Mill", ("air_temperature", "rain_amount", "wind_from_direction"))
    report(station, t=15.0, rain=0.2, dir=200.0)
    html = Client().get(address(station), {"day": "2025-06-01", "span": span}).content.decode()
    assert html.count("<figure") == html.count("<details") == 3
    assert html.count("<svg role=") == 3


def test_a_figure_for_exploring_carries_verdicts_in_its_words(village: Village) -> None:
    station = settle_station(village, "Mill")
    Instrument.objects.filter(station=station).update(range_low=273.15, range_high=323.15, resolution=0.1)
    report(station, t=0.0)
    figure = Client().get(address(station, "figures/air_temperature"), {"day": "2025-06-01"}).json()
    texts = [text for trace in figure["data"] for text in trace.get("text", [])]
    assert len(texts) == len(MORNING)
    assert all(text.startswith("wrong: ") and "range end" in text for text in texts)
    assert "2025-06-01T12:00:00" in figure["data"][-1]["x"]  # village time


def test_the_page_keeps_to_the_content_security_policy(village: Village) -> None:
    station = settle_station(village, "Mill")
    report(station, t=15.0)
    html = Client().get(address(station), {"day": "2025-06-01"}).content.decode()
    assert " style=" not in html
    assert all("src=" in script for script in re.findall(r"<script[^>]*>", html))


def test_the_page_asks_no_more_of_the_database_for_more_neighbours(
    db: None, django_assert_max_num_queries: Callable
) -> None:
    village = make_village(8)
    station = Station.objects.of(village).first()
    report(station, t=15.0, rh=60.0)
    with django_assert_max_num_queries(40):  # each neighbour costs the one range scan of its readings
        Client().get(address(station), {"day": "2025-06-01"})


def test_instruments_and_calibrations_are_a_dated_log(village: Village) -> None:
    station = settle_station(village, "School", ())
    spoken = channel(station, "air_temperature", principle="thermistor", height=2.0, shield="louvred screen")
    spoken.calibrations.create(
        begins_at=FOUNDED.replace(year=2023),
        kind="gain_offset",
        parameters={"offset": -0.4},
        reason="ice bath",
    )
    words = page(station)
    assert (
        "1 Jan 2020 Counts in the village from here on. Air temperature: thermistor, 2 m above ground"
        in words
    )
    assert re.search(r"1 Jan 2023 Air temperature calibrated, .*offset −?-?0.4 \(ice bath\)\.", words)
