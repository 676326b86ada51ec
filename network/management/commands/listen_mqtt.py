"""manage.py listen_mqtt: hand in what boards say at an MQTT broker."""

import signal

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser

from network.management.mqtt import PROTOCOLS, Listener
from network.management.tables import need_tables


class Command(BaseCommand):
    help = (
        "Listen to the broker at HUB_MQTT_URL and store each report before it is acknowledged. One at a time."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--protocol", choices=list(PROTOCOLS), default="5", help="which the broker speaks"
        )

    def handle(self, *args: object, **options: str) -> None:
        need_tables()
        listener = Listener(settings.MQTT_URL, options["protocol"], self._say)
        for ending in (signal.SIGTERM, signal.SIGINT):
            signal.signal(ending, lambda *_: listener.stop())
        listener.run()

    def _say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()
