"""One topic against one database in a process of its own: prints its figures as JSON."""

import json
import os
import sys
from dataclasses import asdict
from importlib import import_module

import django
from django.core.management import call_command


def main(topic: str, database: str, out: str) -> None:
    """Measure one topic, after each figure writing all so far to the file ``out``."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "network.settings"
    django.setup()
    if database != "none":
        call_command("migrate", verbosity=0)
    figures = []
    for figure in import_module(f"tests.bench.{topic}").measure(database):
        figures.append(asdict(figure))
        with open(out, "w") as file:
            json.dump(figures, file)


if __name__ == "__main__":
    main(*sys.argv[1:])
