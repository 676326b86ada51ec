"""manage.py backfill STATION FILE.csv: old readings by the same door as every report."""

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser
from tqdm import tqdm

from network.management.tables import need_tables
from network.pipeline.intake import backfill
from network.pipeline.intake.preview import Becomes, preview
from network.quality.explanation import shown
from network.science.variables import VARIABLES
from network.wire.said import NotUnderstood, few
from stations.models import Station
from stations.models.village import known_zone


class Command(BaseCommand):
    help = "Take in a table of old readings. Look first with --dry-run; the same table again changes nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("station", help="its number or its name")
        parser.add_argument("file", type=Path, help="a CSV file whose first line names the columns")
        parser.add_argument("--dry-run", action="store_true", help="say what each column would become")
        parser.add_argument(
            "--map",
            action="append",
            default=[],
            metavar="COLUMN=NAME [UNIT]",
            help="what a column is, such as 'Outside=temp [F]' or 'When=time'; nothing behind = leaves it out",
        )
        parser.add_argument("--zone", default="", help="of times without an offset, such as Europe/Zurich")
        parser.add_argument("--time-format", default="", help="such as '%%d.%%m.%%Y %%H:%%M'")

    def handle(self, *args: object, **options: object) -> None:
        need_tables()
        station = _station(str(options["station"]))
        try:
            plan = backfill.plan(
                station,
                options["file"],
                _wanted(options["map"]),
                _zone(str(options["zone"])),
                str(options["time_format"]),
            )
        except NotUnderstood as problem:
            raise CommandError(f"{problem.sentence} {problem.hint}") from problem
        except OSError as error:
            raise CommandError(f"{options['file']} cannot be read: {error.strerror}.") from error
        self.stdout.write(f"{station}: {len(plan.table.rows)} rows, local times as in {plan.zone.key}.")
        if options["dry_run"]:
            for becomes in preview(plan):
                self.stdout.write(_told(becomes, plan.zone))
        else:
            self._store(plan)
        for sentence in few(plan.refused):
            self.stdout.write(sentence)
        if options["dry_run"]:
            self.stdout.write("Nothing was stored. Leave --dry-run out to take it in.")

    def _store(self, plan: backfill.Plan) -> None:
        with tqdm(total=len(plan.said), unit="reading", desc=plan.station.name, delay=2, leave=False) as bar:
            outcome = backfill.run(plan, bar.update)
        known = outcome.reports - outcome.new - len(outcome.problems)
        self.stdout.write(
            f"Stored {outcome.readings} readings in {outcome.new} reports; {known} were known before."
        )
        for problem in few(outcome.problems):
            self.stderr.write(problem)
        if outcome.new:
            self.stdout.write("A running hub works through them by itself; 'manage.py settle' does it now.")


def _told(becomes: Becomes, zone: ZoneInfo) -> str:
    """One column in words."""
    unit = f" [{becomes.unit}]" if becomes.unit else ""
    words = [f"  {becomes.column} → {becomes.channel}{unit}:"]
    if len(becomes.said):
        words.append(
            f"{len(becomes.said)} values, {becomes.said.min():g} to {becomes.said.max():g},"
            f" from {_clock(becomes.first_at, zone)} to {_clock(becomes.last_at, zone)}."
        )
    if becomes.variable and len(becomes.values):
        name = becomes.variable
        words.append(
            f"They become {VARIABLES[name].words}: the first, {becomes.said[0]:g}{unit}, is"
            f" {shown(name, becomes.values[0])}; the last, {becomes.said[-1]:g}{unit}, is {shown(name, becomes.values[-1])}."
        )
    return " ".join([*words, becomes.problem]).rstrip()


def _clock(seconds: int, zone: ZoneInfo) -> str:
    """In the zone the table was read in and in UTC, for a slip shows itself only side by side."""
    local = datetime.fromtimestamp(seconds, zone)
    return f"{local:%Y-%m-%d %H:%M} ({local.astimezone(ZoneInfo('UTC')):%H:%M} UTC)"


def _station(said: str) -> Station:
    found = Station.objects.filter(pk=int(said)) if said.isdecimal() else Station.objects.filter(name=said)
    stations = list(found.select_related("household__village"))
    if len(stations) > 1:
        numbers = ", ".join(f"{one.pk} in {one.village}" for one in stations)
        raise CommandError(f"Several stations are called {said!r}. Give a number: {numbers}.")
    if not stations:
        known = ", ".join(f"{one.pk} {one.name}" for one in Station.objects.order_by("pk")[:20]) or "none yet"
        raise CommandError(f"There is no station {said!r}. Known: {known}.")
    return stations[0]


def _wanted(pairs: object) -> dict[str, str]:
    wanted = {}
    for pair in pairs:  # type: ignore[attr-defined]
        column, equals, name = pair.rpartition("=")
        if not equals:
            raise CommandError(f"{pair!r} is no mapping: write it like 'Outside=temp [F]'.")
        wanted[column.strip()] = name.strip()
    return wanted


def _zone(name: str) -> str:
    if name:
        try:
            known_zone(name)
        except ValidationError as wrong:
            raise CommandError(f"{name!r} is not a time zone: use a name such as Europe/Zurich.") from wrong
    return name
