"""The way in: no village, one, several, and a village that has little to show yet."""

from network.pipeline.settle import settle
from stations.models import Station
from tests.network.made_village import deliver, found_village, make_village, observations, one_by_one
from tests.village import five_minutes

PAGE = "/little-aldenbrook/"
TIMES = five_minutes("2024-05-14T10:00:00", 2 / 24)


def test_without_a_village_it_says_how_to_begin(client, db):
    assert "load_village" in client.get("/").content.decode()


def test_the_only_village_is_the_front_page(client, db):
    found_village()
    assert client.get("/").headers["Location"] == PAGE


def test_several_villages_are_listed(client, db):
    found_village()
    found_village(name="Upper Aldenbrook")
    answer = client.get("/").content.decode()
    assert PAGE in answer and "/upper-aldenbrook/" in answer


def test_a_village_nobody_has_reported_from_has_its_words(client, db):
    found_village()
    answer = client.get(PAGE)
    assert answer.status_code == 200
    assert "No station has reported yet" in answer.content.decode()


def test_a_village_that_is_not_there_is_a_page_that_says_so(client, db):
    answer = client.get("/nowhere/")
    assert answer.status_code == 404
    assert "There is no such page" in answer.content.decode()


def test_two_trusted_stations_are_too_few_for_a_map(client, db):
    village = make_village(2, ("air_temperature",))
    for station in Station.objects.of(village):
        deliver(one_by_one(station, observations(station, TIMES)))
    settle()
    told = client.get(PAGE).content.decode()
    assert "Two trusted stations report air temperature; a map needs three." in told
