"""manage.py demo_village: an invented village with a month of weather, served and reporting live."""

import time
from pathlib import Path

from django.contrib.auth import get_user_model
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db.models import Min
from django.utils import timezone
from tqdm import tqdm

from network.demo import boards as demo
from network.demo.ground import lay
from network.demo.history import CLOCKLESS, STEP, delivered, hand_in
from network.demo.weather import Weather
from network.environment import whole_number
from network.models import Report
from network.pipeline.intake.receive import Sender
from network.pipeline.ledger import blocks
from stations.models import DeviceKey, Ground, Household, Membership, Station, Village
from stations.village_file import load

MONTH = 30 * blocks.DAY
LIVE = 30 * blocks.MINUTE
"""[s] The end of the past that arrives over HTTP, while one watches."""

SEED = 20
PEOPLE = (("keeper", "Water Meadow", "keeper"), ("steward", "Church Green", "steward"))


class Command(BaseCommand):
    help = "Make the invented village with a month of reports, serve it, and let its stations report live."

    def handle(self, *args: object, **options: object) -> None:
        from network import serving

        call_command("migrate", verbosity=0)
        village = self._village()
        now = int(time.time()) // STEP * STEP
        if not Ground.objects.filter(village=village).exists():
            lay(village)
        new = not Report.objects.filter(station__household__village=village).exists()
        made_at = self._made_at(village, now)
        weather, boards = Weather(SEED), demo.read_boards(made_at)
        self._past(village, weather, boards, now - LIVE)
        if new:  # later on, what passed since is caught up with while one watches
            call_command("settle", stdout=self.stdout)
        keys = self._keys(village, boards)
        for name, household, _ in PEOPLE:
            self._say(f"log in as {name} of {household}: name {name}, password weather-{name}")
        try:
            serving.serve(
                "127.0.0.1",
                whole_number("PORT", 8000),
                self._say,
                lambda address: delivered(address, boards, keys, weather, now - LIVE),
            )
        except serving.CannotServe as error:
            raise CommandError(str(error)) from error

    def _village(self) -> Village:
        """The demo's village, made when the database is empty; a real one is left alone."""
        described = Path(demo.__file__).with_name("village.toml")
        if not Village.objects.exists():
            village = load(described)
            for name, household, role in PEOPLE:
                person = get_user_model().objects.create_user(name, f"{name}@example.org", f"weather-{name}")
                home = Household.objects.get(village=village, name=household)
                Membership.objects.create(household=home, person=person, role=role)
            return village
        village = Village.objects.filter(slug="aldenbrook").first()
        if village is None or Village.objects.count() > 1:
            raise CommandError(
                "This database holds a village of its own: set HUB_DATA to an empty folder for the demo."
            )
        return village

    def _made_at(self, village: Village, now: int) -> int:
        """When the demo was first made: its faults count back from there."""
        reports = Report.objects.filter(station__household__village=village)
        first = reports.aggregate(first=Min("first_at"))["first"]
        return now if first is None else first // STEP * STEP + MONTH

    def _past(self, village: Village, weather: Weather, boards: list[demo.Board], until: int) -> None:
        """Hand in what is missing up to ``until``: a month, or what passed since the demo last ran."""
        stations = {station.name: station for station in Station.objects.of(village)}
        with tqdm(unit="report", desc="a month of weather", delay=2, leave=False) as bar:
            for board in boards:
                sender = Sender.of(stations[board.station])
                last = (
                    Report.objects.filter(station=sender.station)
                    .order_by("-last_at")
                    .values_list("last_at")
                    .first()
                )
                begins_at = until - MONTH if last is None else (last[0] + board.behind) // STEP * STEP + STEP
                # A board without a clock cannot be late: what it says holds for the moment it comes.
                end = until + LIVE if board.clock in CLOCKLESS else until
                for count in hand_in(board, sender, weather, begins_at, end):
                    bar.update(count)

    def _keys(self, village: Village, boards: list[demo.Board]) -> dict[str, str]:
        """A new key for each of the demo's own devices; those of its earlier runs open nothing any more."""
        stations = Station.objects.of(village).filter(name__in=[board.station for board in boards])
        DeviceKey.objects.filter(station__in=stations, revoked_at=None).update(revoked_at=timezone.now())
        return {station.name: DeviceKey.issue(station)[1] for station in stations}

    def _say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()
