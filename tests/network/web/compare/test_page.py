"""Stations side by side: sentences with their evidence, who may look at whom, and questions that are refused."""

import csv
import re
from pathlib import Path

import numpy as np
import pytest
from django.contrib.auth.models import User
from django.contrib.staticfiles import finders
from django.test import Client

from network.web.reader import COOKIE, Reader
from stations.models import Membership, Station
from tests.network.known_hours import (
    DAY,
    HOURS,
    Known,
    clear_spells,
    hollow,
    keep,
    temperatures,
    weather,
)
from tests.network.made_village import channel, settle_station


def words(known: Known, client: Client | None = None, **query: str) -> str:
    """The words of the page, without its tags."""
    answer = (client or Client()).get(known.address(), {**known.asked, **query})
    assert answer.status_code == 200
    return re.sub(
        r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()).replace("\N{NO-BREAK SPACE}", " ")
    )


def others(known: Known, number: int) -> list[Station]:
    """So many more stations, at one place."""
    place = (47.312, 8.914, 500.0)
    return [settle_station(known.village, f"Other {i}", place=place) for i in range(number)]


def refusal(known: Known, **query: str) -> int:
    return Client().get(known.address(), {**known.asked, **query}).status_code


def test_a_frost_hollow_is_told_in_a_sentence_with_its_evidence(known: Known) -> None:
    hollow(known)
    page = words(known)
    assert "On clear calm nights Brook is 2.0 °C colder than Green, 18 of 18;" in page
    assert "other nights only 0.3 °C, so cold air gathers at Brook" in page
    assert "(Pasquill 1961)" in page and "The wind is that of Green" in page


def test_a_frost_hollow_is_told_in_german(known: Known) -> None:
    hollow(known)
    client = Client()
    client.cookies[COOKIE] = Reader(language="de").cookie()
    page = words(known, client)
    assert "In klaren, windschwachen Nächten ist Brook um 2,0 °C kälter als Green, in 18 von 18;" in page
    assert "anderen Nächten nur um 0,3 °C, also sammelt sich bei Brook die Kaltluft" in page
    assert "Windstille" not in page and "Tagesmittel, °C" in page


def test_the_same_cold_on_every_night_is_laid_to_the_instruments(known: Known) -> None:
    weather(known, clear_spells(), np.full(len(HOURS), 1.0))
    temperatures(known, -0.5 + 0.01 * (DAY % 5))
    page = words(known)
    assert "which points to the instruments or the height more than to the place" in page
    assert "so cold air gathers" not in page


def test_three_nights_are_too_few_and_the_page_says_what_is_missing(known: Known) -> None:
    hollow(known)
    page = words(known, **{"from": "2025-05-05", "to": "2025-05-07"})
    assert re.search(
        r"Nothing can be said of clear calm nights yet: \d fell in this span, and 6 are the fewest", page
    )


def test_without_sunlight_nothing_is_said_of_clear_nights(known: Known) -> None:
    temperatures(known, np.full(len(HOURS), -1.0))
    page = words(known)
    assert "Nothing can be said of clear calm nights: no station’s sunlight tells" in page
    assert "On clear calm nights" not in page


def test_a_warm_wall_is_told_by_its_sunny_afternoons(known: Known) -> None:
    weather(known, clear_spells(), np.full(len(HOURS), 1.0))
    local = np.arange(len(HOURS)) % 24
    temperatures(
        known, np.where((clear_spells() > 0.5) & (local >= 13) & (local < 20), 0.8, 0.0) + 0.001 * (DAY % 5)
    )
    assert "On sunny afternoons Brook is 0.8 °C warmer than Green, 12 of 12;" in words(known)


def test_a_rain_shadow_is_told_with_its_share_and_its_days(known: Known) -> None:
    for station in (known.green, known.brook):
        channel(station, "rain_amount")
    falls = (DAY % 2 == 0) & (np.arange(len(HOURS)) % 24 < 4)
    keep(known.green, {"rain_amount": np.where(falls, 2.0 + 0.1 * (DAY % 5), 0.0)}, "total")
    keep(known.brook, {"rain_amount": np.where(falls, 1.66 + 0.083 * (DAY % 5), 0.0)}, "total")
    page = words(known, variable="rain_amount")
    assert "Brook catches 0.83 of the rain of Green, over 12 wet days" in page
    assert "less on 12 of them" in page


def test_one_cloudburst_is_no_rain_shadow(known: Known) -> None:
    for station in (known.green, known.brook):
        channel(station, "rain_amount")
    noon = np.arange(len(HOURS)) % 24 == 12
    keep(known.green, {"rain_amount": np.where(noon, np.where(DAY % 2 == 0, 8.0, 2.0), 0.0)}, "total")
    keep(known.brook, {"rain_amount": np.where(noon, np.where(DAY % 2 == 0, 6.0, 2.2), 0.0)}, "total")
    # Constructed: far less on every second day, a little more on the others.
    page = words(known, variable="rain_amount")
    assert "Brook catches 0.82 of the rain of Green, over 24 wet days" in page
    assert "but less on only 12 of them: a few days decide" in page


def test_two_wet_days_are_too_few_for_a_share(known: Known) -> None:
    for station in (known.green, known.brook):
        channel(station, "rain_amount")
        keep(
            station,
            {"rain_amount": np.where((DAY < 2) & (np.arange(len(HOURS)) % 24 == 9), 5.0, 0.0)},
            "total",
        )
    page = words(known, variable="rain_amount")
    assert "Nothing can be said of rain yet: this span has 2 days with 1 mm or more" in page


def test_an_interval_finer_than_the_figures_is_left_out(known: Known) -> None:
    temperatures(known, np.where(np.arange(len(HOURS)) % 4 < 2, -1.001, -0.999))
    assert "On average Brook is 1.0 °C colder than Green, over 576 hours." in words(known)


def test_hours_that_only_one_of_them_has_are_told(known: Known) -> None:
    temperatures(known, np.where(DAY < 6, np.nan, 0.5))
    assert "over 432 hours; 144 more have one of them only, so it may not hold in all weather" in words(known)


def test_two_that_read_alike_are_called_alike(known: Known) -> None:
    temperatures(known, np.where(np.arange(len(HOURS)) % 4 < 2, 0.4, -0.4))
    assert "On average Brook and Green are alike" in words(known)


def test_no_picture_comes_without_its_table(known: Known) -> None:
    hollow(known)
    page = Client().get(known.address(), known.asked).content.decode()
    # Two pictures of time share the table of days; the scatter has its line's figures and the file of hours.
    assert page.count('<svg role="img"') == 5
    assert (
        re.findall(r"<caption>(.*?)</caption>", page)
        == ["Means of the days, °C"] + ["Brook less Green, °C"] * 2
    )
    assert "<dt>Slope</dt>" in page and "download.csv?stations=" in page


def test_a_station_that_nobody_else_may_see_is_neither_offered_nor_told(known: Known) -> None:
    hollow(known)
    Station.objects.filter(pk=known.brook.pk).update(counts_from=None, state=Station.State.AWAITING)
    assert refusal(known) == 404
    assert "Brook" not in Client().get(known.address()).content.decode()
    person = User.objects.create_user("kay")
    Membership.objects.create(household=known.brook.household, person=person, role=Membership.Role.KEEPER)
    keeper = Client()
    keeper.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    assert "On clear calm nights Brook is 2.0 °C colder" in words(known, keeper)


def test_a_place_that_is_not_shown_is_not_given_away(known: Known) -> None:
    hollow(known)
    Station.objects.filter(pk=known.brook.pk).update(shown=Station.Shown.HIDDEN)
    placement = known.brook.placements.first()
    page = Client().get(known.address(), known.asked).content.decode()
    assert "Brook" in page
    assert f"{placement.latitude:.2f}" not in page and f"{placement.elevation:.0f} m" not in page


@pytest.mark.parametrize(
    "query",
    [
        {"stations": "1,nobody"},
        {"variable": "happiness"},
        {"variable": "battery_voltage"},
        {"from": "2025-06-01"},
        {"from": "2020-01-01"},
        {"to": "tomorrow"},
    ],
)
def test_what_cannot_be_compared_is_not_found(known: Known, query: dict[str, str]) -> None:
    assert refusal(known, **query) == 404


def test_more_stations_than_can_be_told_apart_are_refused(known: Known) -> None:
    eleven = (known.green, known.brook, *others(known, 9))
    assert refusal(known, stations=",".join(str(one.pk) for one in eleven)) == 404


def test_ten_stations_stand_side_by_side_and_no_two_lines_have_the_same_strokes(known: Known) -> None:
    more = others(known, 8)
    hollow(known)
    for number, station in enumerate(more):
        keep(station, {"air_temperature": np.full(len(HOURS), 280.0 + number)})
    stations = ",".join(str(one.pk) for one in (known.green, known.brook, *more))
    page = Client().get(known.address(), {**known.asked, "stations": stations}).content.decode()
    assert "9 stations beside Green" in page and page.count('<details class="fold">') == 9
    ends = re.findall(r'<svg class="name who\d" x="100%" y="([\d.]+)"', page)
    assert len(ends) == 10 and min(np.diff(np.array(ends, dtype=float))) >= 15
    sheet = Path(finders.find("network/compare.css")).read_text()
    strokes = dict(re.findall(r"^\.compare \.line\.(who\d) \{ (.*) \}$", sheet, re.MULTILINE))
    assert len(set(strokes.values())) == len(strokes) == 9  # beside who1, the plain line


def test_directions_are_drawn_each_by_itself_for_points_have_no_dashes(known: Known) -> None:
    channel(known.brook, "wind_from_direction")
    for station in (known.green, known.brook):
        keep(station, {"wind_from_direction": np.full(len(HOURS), 200.0)})
    page = words(known, variable="wind_from_direction")
    assert "Wind direction at Green" in page and "Wind direction at Brook" in page


def test_over_a_span_without_readings_nothing_is_claimed(known: Known) -> None:
    page = words(known, **{"from": "2024-01-01", "to": "2024-01-05"})
    assert "have no hour in common with good readings of both" in page
    assert "Too few hours to draw." in page
    for claimed in ("brightest", "Pasquill", "calm night was told", "interval", "within a bar"):
        assert claimed not in page


def test_boxes_and_a_list_of_stations_ask_the_same(known: Known) -> None:
    hollow(known)
    boxes = Client().get(known.address(), {**known.asked, "stations": [known.green.pk, known.brook.pk]})
    assert "Brook beside Green" in boxes.content.decode()


def test_of_one_station_it_is_asked_which_to_compare_it_with(known: Known) -> None:
    page = Client().get(known.address(), {"stations": known.brook.pk}).content.decode()
    assert "Which station shall Brook be compared with?" in page
    assert f"stations={known.brook.pk},{known.green.pk}" in page


def test_stations_with_nothing_in_common_are_told_so(known: Known) -> None:
    gauge = settle_station(known.village, "Gauge", ("rain_amount",))
    assert "measure nothing in common" in words(known, stations=f"{known.green.pk},{gauge.pk}")


def test_a_month_takes_no_more_questions_of_the_database_than_a_week(
    known: Known, django_assert_max_num_queries
) -> None:
    hollow(known)
    with django_assert_max_num_queries(25):
        words(known)


def test_the_file_has_every_hour_with_its_setting(known: Known) -> None:
    Station.objects.filter(pk=known.brook.pk).update(name="=Brook")
    hollow(known)
    answer = Client().get(known.address("download.csv"), known.asked)
    assert answer["Content-Type"].startswith("text/csv")
    rows = list(csv.DictReader(answer.content.decode().splitlines()))
    assert len(rows) == len(HOURS)
    assert rows[0]["hour_begins_at (UTC)"] == "2025-05-04T22:00:00Z"
    assert rows[0]["hour_begins_at (village)"] == "2025-05-05T00:00"
    assert {
        "Green air_temperature [Cel]",
        "'=Brook air_temperature [Cel]",
        "'=Brook less Green [Cel]",
    } <= set(rows[0])
    # By hand: the first night belongs to a clear day, so Brook is 2 K colder.
    assert (float(rows[1]["'=Brook less Green [Cel]"]), rows[1]["occasion"]) == (-2.0, "clear calm night")


def test_a_stations_page_and_the_head_of_the_village_lead_here(known: Known) -> None:
    station = Client().get(f"/{known.village.slug}/stations/{known.green.pk}/").content.decode()
    assert f'{known.address()}?stations={known.green.pk}"' in station
    assert f'href="{known.address()}"' in Client().get(f"/{known.village.slug}/").content.decode()
