"""Two villages with a household or two each, and the people in them."""

from dataclasses import dataclass
from datetime import UTC, datetime

import pytest
from django.contrib.auth.models import User
from django.test import Client

from stations import history
from stations.models import Channel, Household, Membership, Placement, Station, Village

BOX = {"south": 47.30, "north": 47.32, "west": 8.90, "east": 8.93}
SINCE = datetime(2026, 3, 1, 12, tzinfo=UTC)
PASSWORD = "three plain words"


@dataclass(frozen=True)
class Homes:
    """The rows most tests begin with."""

    village: Village
    household: Household
    station: Station  # a draft of the household
    thermometer: Channel

    def live(self) -> Station:
        """The station after the steward let it count from where it stands."""
        self.station.state, self.station.counts_from = Station.State.LIVE, SINCE
        self.station.save()
        return self.station


@pytest.fixture(autouse=True)
def quick_passwords(settings):
    """Hashes that are slow on purpose would only slow the tests."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def homes(db) -> Homes:
    village = Village.objects.create(name="Testwick", slug="testwick", zone="Europe/Zurich", **BOX)
    household = Household.objects.create(village=village, name="Mill")
    station = Station.objects.create(household=household, name="Garden")
    Placement.objects.create(station=station, begins_at=SINCE, latitude=47.31, longitude=8.91, elevation=440)
    thermometer = history.fit(
        station, {"variable": "air_temperature", "accuracy": 0.4}, {"name": "temp", "unit": "Cel"}, SINCE
    )
    return Homes(village, household, station, thermometer)


def person(name: str, household: Household, role: str = Membership.Role.KEEPER) -> User:
    """Somebody who belongs to a household."""
    made = User.objects.create_user(name, f"{name}@example.org", PASSWORD)
    Membership.objects.create(household=household, person=made, role=role)
    return made


def signed_in(who: User) -> Client:
    """A browser of theirs."""
    client = Client()
    client.force_login(who)
    return client


@pytest.fixture
def keeper(homes) -> Client:
    return signed_in(person("kay", homes.household))


@pytest.fixture
def steward(homes) -> Client:
    hall = Household.objects.create(village=homes.village, name="Hall")
    return signed_in(person("stella", hall, Membership.Role.STEWARD))


@pytest.fixture
def neighbour(homes) -> Client:
    orchard = Household.objects.create(village=homes.village, name="Orchard")
    return signed_in(person("nils", orchard))


@pytest.fixture
def stranger(homes) -> Client:
    """The steward of another village."""
    away = Village.objects.create(name="Farwick", slug="farwick", zone="Europe/Zurich", **BOX)
    return signed_in(
        person("sam", Household.objects.create(village=away, name="Inn"), Membership.Role.STEWARD)
    )
