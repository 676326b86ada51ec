"""manage.py rebuild: everything again from reports, metadata and decisions."""

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser

from network.management.tables import need_tables
from network.pipeline.rebuild import forget
from stations.models import Village


class Command(BaseCommand):
    help = "Recompute everything from reports, metadata and decisions."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("village", nargs="?", help="its short name; all villages when left out")

    def handle(self, *args: object, **options: str) -> None:
        need_tables()
        villages = Village.objects.all()
        if options["village"]:
            villages = villages.filter(slug=options["village"])
            if not villages:
                known = ", ".join(Village.objects.values_list("slug", flat=True)) or "none yet"
                raise CommandError(f"There is no village {options['village']!r}. Known: {known}.")
        for village in villages:
            forget(village)
        call_command("settle", stdout=self.stdout)
