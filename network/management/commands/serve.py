"""manage.py serve: pages, worker and clock in one process, for one village."""

from django.core.management.base import BaseCommand, CommandError, CommandParser

from network.environment import whole_number


class Command(BaseCommand):
    help = "Serve the pages; without REDIS_URL also work through what is to be done, in the same process."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--host", default="127.0.0.1")

    def handle(self, *args: object, **options: str) -> None:
        from network import serving  # here, for it starts the whole application

        try:
            serving.serve(options["host"], whole_number("PORT", 8000), self._say)
        except serving.CannotServe as error:
            raise CommandError(str(error)) from error

    def _say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()
