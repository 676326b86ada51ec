"""A station's skyline on its page: what is said of it, drawn, and to whom it is shown."""

import re
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from django.contrib.auth.models import User
from django.test import Client

from network.models import Skyline
from network.web.skyline_picture import Path, picture
from stations.models import Membership, Placement, Station
from tests.network.made_village import found_village, settle_station

DAY = 86400
AT = int(datetime(2025, 6, 1, 12, tzinfo=UTC).timestamp())

pytestmark = pytest.mark.django_db


@pytest.fixture
def station() -> Station:
    return settle_station(found_village(), "Garden", ("irradiance",))


def horizon(low: float = 0.0, **walls: tuple[int, int, float]) -> list[float | None]:
    """Seen from 60 to 300 degrees of azimuth, with walls from and to an azimuth, so many degrees high."""
    line: list[float | None] = [low if 12 <= i < 60 else None for i in range(72)]
    for first, end, high in walls.values():
        line[first // 5 : end // 5] = [high] * ((end - first) // 5)
    return line


def learn(station: Station, line: list[float | None], moments: int = 10, since: int = AT - 20 * DAY) -> None:
    Skyline.objects.create(
        station=station,
        spell=AT - 5 * DAY,
        since=since,
        horizon=line,
        moments=[0 if high is None else moments for high in line],
    )


def page(station: Station, client: Client | None = None) -> str:
    address = f"/{station.village.slug}/stations/{station.pk}/"
    answer = (client or Client()).get(address, {"at": "2025-06-01T14:00"})
    assert answer.status_code == 200
    return answer.content.decode()


def skyline(station: Station, client: Client | None = None) -> str:
    """The section of the page; empty when there is none."""
    found = re.search(r'<section class="entry" id="skyline">.*?</section>', page(station, client), re.DOTALL)
    return found[0] if found else ""


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        (
            horizon(wall=(115, 190, 18.0)),
            "The sun is hidden from its light sensor between south-east and south up to 18°.",
        ),
        (
            horizon(roof=(80, 100, 12.4), tree=(225, 245, 30.0)),
            "The sun is hidden from its light sensor in the east up to 12° and in the south-west up to 30°.",
        ),
        (horizon(), "Nothing shades its light sensor, as far as it has seen the sun."),
        (horizon(low=4.0), "Nothing shades its light sensor, as far as it has seen the sun."),
    ],
)
def test_one_sentence_says_where_the_sun_is_hidden_and_how_high(station, line, sentence):
    learn(station, line)
    assert sentence in skyline(station)


@pytest.mark.parametrize("seen", [False, True])
def test_until_it_has_seen_enough_clear_skies_it_says_so_and_draws_nothing(station, seen):
    if seen:
        learn(station, horizon(), moments=2)
    assert "not yet seen enough clear skies" in skyline(station)
    assert "<svg" not in skyline(station)


def test_a_station_without_a_light_sensor_has_no_skyline():
    assert not skyline(settle_station(found_village(), "Garden", ("air_temperature",)))


def test_it_draws_the_horizon_and_three_paths_of_the_sun_with_a_table_behind(station):
    learn(station, horizon(wall=(115, 190, 18.0)))
    drawn = skyline(station)
    assert drawn.count('class="ground"') == 1 and drawn.count('class="way"') == 3
    for words in ("midsummer", "equinox", "midwinter", "east", "south", "west"):
        assert f">{words}<" in drawn
    assert re.search(r"south-east</th><td>up to 18°</td>", drawn)
    assert re.search(r"west</th><td>nowhere</td>", drawn)
    assert "style=" not in drawn  # the Content-Security-Policy allows none


@pytest.mark.parametrize(
    ("shown", "seen"),
    [(Station.Shown.EXACT, True), (Station.Shown.ROUNDED, True), (Station.Shown.HIDDEN, False)],
)
def test_a_hidden_place_shows_its_skyline_only_to_who_keeps_it(station, shown, seen):
    learn(station, horizon(wall=(115, 190, 18.0)))
    Station.objects.filter(pk=station.pk).update(shown=shown)
    assert bool(skyline(station)) == seen
    keeper = User.objects.create_user("keeper")
    Membership.objects.create(person=keeper, household=station.household)
    client = Client()
    client.force_login(keeper)
    assert skyline(station, client)


def test_after_a_move_the_skyline_of_the_old_place_is_not_shown(station):
    learn(station, horizon(wall=(115, 190, 18.0)))
    moved = datetime.fromtimestamp(AT, UTC) - timedelta(days=1)
    old = Placement.objects.get(station=station)
    old.ends_at = moved
    old.save()
    Placement.objects.create(
        station=station, latitude=old.latitude, longitude=old.longitude, elevation=440.0, begins_at=moved
    )
    assert "not yet seen enough clear skies" in skyline(station)


def points(path: Path) -> np.ndarray:
    """Azimuth from the left edge and elevation [deg] of a path's points: two units a degree, the zenith at 0."""
    pairs = np.array([pair.split(",") for pair in path.line[1:].split()], dtype=float)
    return np.column_stack([pairs[:, 0] / 2, 90 - pairs[:, 1] / 2])


def test_the_suns_paths_culminate_as_high_as_declination_and_latitude_say():
    # Noon elevation is 90 degrees - latitude + declination, which is 23.44, 0 and -23.44 (common knowledge).
    paths = {path.words: points(path) for path in picture(np.full(72, np.nan), 47.3, 8.9).paths}
    for words, declination in (("midsummer", 23.44), ("equinox", 0.0), ("midwinter", -23.44)):
        across, elevation = paths[words].T
        noon = int(np.argmax(elevation))
        assert elevation[noon] == pytest.approx(90 - 47.3 + declination, abs=0.3)
        assert across[noon] == pytest.approx(135.0, abs=3.0)  # due south, midway


def test_south_of_the_equator_north_is_midmost_and_june_is_midwinter():
    drawn = picture(np.full(72, np.nan), -33.9, 18.4)
    assert drawn.compass == ("west", "north", "east")
    heights = {path.words: points(path)[:, 1].max() for path in drawn.paths}
    assert heights["midwinter"] == pytest.approx(90 - 33.9 - 23.44, abs=0.3)
    assert heights["midsummer"] == pytest.approx(90 - 33.9 + 23.44, abs=0.3)


def test_what_is_not_known_is_not_drawn():
    line = np.zeros(72)
    line[30:34] = np.nan
    assert len(picture(line, 47.3, 8.9).shapes) == 2
    assert not picture(np.full(72, np.nan), 47.3, 8.9).shapes
