"""manage.py load_village FILE.toml: a village from one readable file."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError, CommandParser

from network.management.tables import need_tables
from stations.models import Station
from stations.village_file import WrongFile, load


class Command(BaseCommand):
    help = "Create a village with its households, stations, instruments and calibrations from a TOML file."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="such as network/demo/village.toml")

    def handle(self, *args: object, **options: Path) -> None:
        need_tables()
        try:
            village = load(options["file"])
        except WrongFile as error:
            raise CommandError(str(error)) from error
        stations = Station.objects.of(village)
        self.stdout.write(f"{village}: {village.households.count()} households, {stations.count()} stations.")
