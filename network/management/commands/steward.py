"""manage.py steward NAME: an account for a village's steward, who can then invite everybody else."""

from getpass import getpass

from django.contrib.auth import get_user_model
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import transaction

from network.management.tables import need_tables
from stations.models import Household, Membership


class Command(BaseCommand):
    help = "Open an account for a steward, or make a person who has one the steward."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="the name to sign in with")
        parser.add_argument("--household", required=True, help="whose member the steward is")
        parser.add_argument(
            "--village", default="", help="its short name, where two villages have such a household"
        )
        parser.add_argument("--email", default="")

    def handle(self, *args: object, **options: str) -> None:
        need_tables()
        household = self._household(options["household"], options["village"])
        people = get_user_model().objects
        person = people.filter(username=options["name"]).first()
        password = None if person else self._password()
        with transaction.atomic():
            person = person or people.create_user(options["name"], options["email"], password)
            Membership.objects.update_or_create(
                household=household, person=person, defaults={"role": Membership.Role.STEWARD}
            )
        self.stdout.write(f"{options['name']} is steward of {household.village}.")

    def _household(self, name: str, village: str) -> Household:
        found = Household.objects.filter(name=name)
        if village:
            found = found.filter(village__slug=village)
        if found.count() == 1:
            return found.get()
        known = ", ".join(
            f"{one.name} ({one.village.slug})" for one in Household.objects.select_related("village")
        )
        raise CommandError(f"{found.count()} households are called {name!r}. Known: {known or 'none yet'}.")

    def _password(self) -> str:
        password = getpass("Password: ")
        try:
            validate_password(password)
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        if getpass("Once more: ") != password:
            raise CommandError("The two passwords differ: run the command again.")
        return password
