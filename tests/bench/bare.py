"""The reference for receiving: a WSGI callable that parses the JSON, looks the key up and does one INSERT.

It keeps its rows in a table of its own in the hub's database, with the hub's own settings for durability.
"""

import json
import os
import sqlite3
import threading
from collections.abc import Callable, Iterable
from hashlib import sha256
from typing import Any

NAMES = ("temp", "hum", "pres", "wind", "gust", "dir", "rain", "sun", "wet")
COLUMNS = ("station_id", "observed_at", *NAMES)
TABLE = f"CREATE TABLE IF NOT EXISTS bare (station_id bigint, observed_at bigint, {' real, '.join(NAMES)} real, PRIMARY KEY (station_id, observed_at))"
URL = os.environ["DATABASE_URL"]
ON_SQLITE = URL.startswith("sqlite")
PLACE = "?" if ON_SQLITE else "%s"
KEY = f"SELECT station_id FROM stations_devicekey WHERE hash = {PLACE}"
INSERT = f"INSERT INTO bare VALUES ({', '.join([PLACE] * len(COLUMNS))}) ON CONFLICT DO NOTHING"

own = threading.local()


def application(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
    """Keep one report and answer 202."""
    body = json.loads(environ["wsgi.input"].read(int(environ["CONTENT_LENGTH"])))
    key = environ["HTTP_AUTHORIZATION"].partition(" ")[2]
    connection = _connection()
    cursor = connection.cursor()
    cursor.execute(KEY, [sha256(key.encode()).hexdigest()])
    (station,) = cursor.fetchone()
    rows = [
        (station, said["time"], *map(said.get, NAMES)) for said in (body if type(body) is list else [body])
    ]
    if len(rows) == 1:
        cursor.execute(INSERT, rows[0])
    else:
        cursor.executemany(INSERT, rows)
    connection.commit()
    answer = json.dumps({"status": 202, "readings": len(rows)}).encode()
    headers = [("Content-Type", "application/json"), ("Content-Length", str(len(answer)))]
    start_response("202 Accepted", headers)
    return [answer]


def _connection() -> Any:
    """Each thread's own, opened once."""
    if not hasattr(own, "connection"):
        if ON_SQLITE:
            own.connection = sqlite3.connect(URL.removeprefix("sqlite:///"), timeout=20)
            own.connection.execute("PRAGMA journal_mode=WAL")
            own.connection.execute("PRAGMA synchronous=FULL")
        else:
            import psycopg

            own.connection = psycopg.connect(URL)
    return own.connection
