"""What every command needs before it can begin."""

from django.core.management.base import CommandError
from django.db import connection


def need_tables() -> None:
    """Stop with a sentence where the database is not this hub's, or not yet."""
    if "stations_station" not in connection.introspection.table_names():
        raise CommandError(
            "This hub has no tables yet: run 'manage.py migrate', or set HUB_DATA to the folder of the hub you mean"
            " (that of the demo is var/demo)."
        )
