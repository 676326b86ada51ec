"""The invented village with its people, its ground and some days of reports, settled."""

from django.contrib.auth import get_user_model
from tqdm import tqdm

from network.demo.boards import Board, read_boards
from network.demo.ground import lay
from network.demo.history import hand_in
from network.demo.weather import Weather
from network.management.commands.demo_village import PEOPLE, SEED
from network.pipeline.intake.receive import Sender
from network.pipeline.settle import settle
from stations.models import Household, Membership, Station, Village
from stations.village_file import load
from tests.services import ROOT


def settled_demo(days: int, now: int, until: int) -> tuple[Village, list[Board], Weather]:
    """The village as it is at ``until``, its boards as they are made at ``now`` [UTC epoch s], and its weather."""
    village = load(ROOT / "network" / "demo" / "village.toml")
    lay(village)
    for name, household, role in PEOPLE:
        person = get_user_model().objects.create_user(name)
        home = Household.objects.get(village=village, name=household)
        Membership.objects.create(household=home, person=person, role=role)
    stations = {station.name: station for station in Station.objects.of(village)}
    weather, boards = Weather(SEED), read_boards(now)
    for board in tqdm(boards, desc=f"{days} days of weather", delay=2, leave=False):
        list(hand_in(board, Sender.of(stations[board.station]), weather, until - days * 86400, until))
    settle()
    return village, boards, weather
