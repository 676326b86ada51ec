"""The record's pages: addresses, words, gaps told, and who may read them."""

import re
from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.db import transaction
from django.test import Client

from network.models import Summary
from network.web.record import of_station, of_village
from stations.models import Station, Village
from tests.network.made_village import found_village, settle_station

ZONE = ZoneInfo("Europe/Zurich")
NOW = datetime(2025, 6, 21, 9, tzinfo=ZONE).timestamp()
MEASURED = ("air_temperature", "relative_humidity", "rain_amount", "wind_speed", "wind_from_direction")


@pytest.fixture(scope="module")
def made(django_db_setup: None, django_db_blocker: object) -> Iterator[Village]:
    """Two stations of May and twenty days of June: Green has 10 °C in May and 12 in June, Mill a degree more.

    A millimetre falls at noon of every fifth day; of 7 June Green has no hours from 8 to 10 UTC.
    """
    with django_db_blocker.unblock(), transaction.atomic():
        village = found_village()
        for more, name in enumerate(("Green", "Mill")):
            station = settle_station(village, name, MEASURED)
            rows = []
            for day in range(51):
                begins = int(datetime(2025, 5, 1, tzinfo=ZONE).timestamp()) + 86400 * day
                warm = 273.15 + (10 if day < 31 else 12) + more
                rows.append(_summary(station, "day", begins, "air_temperature", warm, 5.0))
                for hour in range(24):
                    if name == "Green" and day == 37 and 10 <= hour < 12:
                        continue  # 10 to 12 in the village
                    at = begins + 3600 * hour
                    fell = 1.0 if day % 5 == 0 and hour == 12 else 0.0
                    rows.append(_summary(station, "hour", at, "air_temperature", warm, 1.0))
                    rows.append(_summary(station, "hour", at, "rain_amount", 0.0, 0.0, fell))
                    rows.append(_summary(station, "hour", at, "wind_speed", 3.0, 1.0))
                    rows.append(_summary(station, "hour", at, "wind_from_direction", 270.0, 0.0))
            Summary.objects.bulk_create(rows)
        yield village
        transaction.set_rollback(True)


def _summary(
    station: Station,
    span: str,
    begins: int,
    variable: str,
    mean: float,
    reach: float,
    total: float | None = None,
) -> Summary:
    return Summary(
        station=station, span=span, begins_at=begins, variable=variable, mean=mean, low=mean - reach,
        high=mean + reach, total=total, good=12, reports=12,
    )  # fmt: skip


@pytest.fixture
def village(made: Village, db: None, monkeypatch: pytest.MonkeyPatch) -> Village:
    for page in (of_station, of_village):
        monkeypatch.setattr(page, "time", lambda: NOW)
    return made


def words(address: str, client: Client | None = None) -> str:
    answer = (client or Client()).get(address)
    assert answer.status_code == 200
    text = re.sub(r"<[^>]+>", " ", answer.content.decode()).replace("\N{NO-BREAK SPACE}", " ")
    return re.sub(r"\s+", " ", text)


def green(village: Village, path: str = "2025/6/") -> str:
    station = Station.objects.get(name="Green")
    return f"/{village.slug}/stations/{station.pk}/record/{path}"


def test_a_running_month_is_told_against_the_one_before_and_against_the_village(village: Village) -> None:
    text = words(green(village))
    assert "June so far: 12.0 °C in the mean, 2.0 °C above May." in text
    assert "That is 1.0 °C colder than the one other station." in text
    assert "to the end of 20 June" in text


def test_a_total_with_missing_hours_says_so_in_words_and_in_the_table(village: Village) -> None:
    text = words(green(village))
    # A millimetre on the 5th, 10th, 15th and 20th.
    assert "At least 4.0 mm of rain, on 4 days or more; 2 of 480 hours are missing." in text
    assert re.search(r"Sat 7 12\.0 7\.0 17\.0 ≥ 0\.0", text)
    assert re.search(r"Thu 5 12\.0 7\.0 17\.0 1\.0", text)


def test_the_wind_rose_is_told_in_a_sentence_and_stands_in_a_table(village: Village) -> None:
    text = words(green(village))
    assert "Most of the wind came from the west; 0 % of the time it was calm." in text
    assert (
        "478 hours counted, 0 of them calm (under 0.5 m/s), 0 from changing directions; 2 hours are missing."
        in text
    )


def test_growing_degree_days_tell_their_base_and_evapotranspiration_what_it_lacks(village: Village) -> None:
    assert "growing degree days 140 °C days" in words(green(village))  # twenty days 7 degrees above 5
    assert "growing degree days 40 °C days" in words(green(village) + "?base=10")
    assert "cannot be worked out without relative humidity, wind speed and sunlight" in words(green(village))


def test_a_year_is_cut_into_months_that_open_and_a_month_into_days(village: Village) -> None:
    client = Client()
    year = client.get(green(village, "2025/")).content.decode()
    assert f'href="{green(village, "2025/5/")}"' in year
    month = client.get(green(village, "2025/5/")).content.decode()
    assert f'href="{green(village, "2025/5/31/")}"' in month
    assert "10.0" in words(green(village, "2025/"))


def test_a_day_is_told_by_its_hours(village: Village) -> None:
    text = words(green(village, "2025/6/20/"))
    assert "20 June: 12.0 °C in the mean" in text
    assert "from 23:00" in text


def test_the_village_tells_its_mean_and_every_station(village: Village) -> None:
    text = words(f"/{village.slug}/record/2025/6/")
    assert "June so far: 12.5 °C in the mean, 2.0 °C above May." in text
    assert "4.0 mm of rain" in text and "Green" in text and "Mill" in text


def test_without_an_address_the_running_month_is_meant(village: Village) -> None:
    answer = Client().get(f"/{village.slug}/record/")
    assert answer.status_code == 302 and answer["Location"].endswith("/record/2025/6/")
    assert Client().get(green(village, ""))["Location"] == green(village)


@pytest.mark.parametrize("path", ["2025/13/", "2025/2/30/", "2025/7/", "1999/", "2025/6/22/"])
def test_a_day_that_no_calendar_has_or_that_has_not_begun_is_not_found(village: Village, path: str) -> None:
    assert Client().get(green(village, path)).status_code == 404
    assert Client().get(f"/{village.slug}/record/{path}").status_code == 404


def test_a_month_without_any_reading_has_its_page(village: Village) -> None:
    text = words(green(village, "2024/2/"))
    assert "February: how warm it was is not known." in text
    assert "How much it rained" not in text  # it measured nothing at all then


def test_a_station_that_is_not_public_has_no_record(village: Village) -> None:
    Station.objects.filter(name="Green").update(state="draft", counts_from=None)
    assert Client().get(green(village)).status_code == 404
    assert "Green" not in words(f"/{village.slug}/record/2025/6/")


def test_no_style_or_script_stands_in_the_page(village: Village) -> None:
    page = Client().get(green(village)).content.decode()
    assert "style=" not in page and "<script" not in page


def test_a_zone_of_half_hours_has_its_record_too(village: Village) -> None:
    Village.objects.filter(pk=village.pk).update(zone="Asia/Kolkata")
    assert "June" in words(green(village))


def test_a_month_of_the_village_is_the_same_on_its_own_page_and_in_the_year(village: Village) -> None:
    assert "June so far: 12.5 °C" in words(f"/{village.slug}/record/2025/6/")
    assert re.search(r"June 12\.5 ", words(f"/{village.slug}/record/2025/"))
