"""A place is told as far as its household shows it."""

import pytest
from django.contrib.auth.models import User

from stations.models import Membership, Station
from tests.network.made_village import settle_station


def test_a_place_is_exact_rounded_or_absent_as_its_household_says(reader, stations):
    for station, shown in zip(stations, ("exact", "rounded", "hidden"), strict=False):
        Station.objects.filter(pk=station.pk).update(shown=shown)
    features = {f["id"]: f for f in reader.get("/api/stations").json()["features"]}
    exact, rounded, hidden = (features[station.pk] for station in stations[:3])
    placement = [station.placements.get() for station in stations[:2]]
    assert exact["geometry"]["coordinates"] == [placement[0].longitude, placement[0].latitude]
    for degrees, true in zip(
        rounded["geometry"]["coordinates"], (placement[1].longitude, placement[1].latitude), strict=True
    ):
        assert (
            degrees != true
            and abs(degrees - true) <= 0.001
            and round(degrees / 0.002) * 0.002 == pytest.approx(degrees)
        )
    assert hidden["geometry"] is None and hidden["properties"]["elevation"] is None


def test_the_history_hides_what_the_list_hides(reader, stations):
    Station.objects.filter(pk=stations[0].pk).update(shown="hidden")
    history = reader.get(f"/api/stations/{stations[0].pk}").json()
    assert [place["geometry"] for place in history["placements"]] == [None]
    assert str(stations[0].placements.get().latitude) not in str(history)


def test_a_station_that_awaits_approval_is_known_to_its_keeper_only(reader, village, stations):
    new = settle_station(village, "Newcomer")
    Station.objects.filter(pk=new.pk).update(state="awaiting", counts_from=None)
    keeper = User.objects.create_user("newcomer")
    Membership.objects.create(household=new.household, person=keeper)
    assert reader.get(f"/api/stations/{new.pk}").status_code == 404
    assert new.pk not in [f["id"] for f in reader.get("/api/stations").json()["features"]]
    reader.force_login(keeper)
    assert reader.get(f"/api/stations/{new.pk}").status_code == 200
