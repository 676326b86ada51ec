"""Receiving: the real endpoint with all its duties against a bare callable on the same server.

On SQLite the server is the embedded hub's (waitress, one process), on PostgreSQL the district's (gunicorn, two
processes of four threads, with Redis). No worker runs beside either.
"""

import os
import socket
import sys
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from itertools import count, cycle
from pathlib import Path

from django.db import connection

from stations.models import DeviceKey, Station
from tests import services
from tests.bench import bare, load
from tests.bench.figure import Figure, taking_turns
from tests.network.made_village import make_village
from tests.processes import background, free_port

ROUNDS, LASTING = 5, 1.5
BATCH = 288
SAID = b'"temp":11.4,"hum":81,"pres":962.3,"wind":2.1,"gust":4.4,"dir":235,"rain":0.2,"sun":121,"wet":40'
BARS = {
    "receive_one_sqlite": ">= 0.20",
    "receive_one_postgresql": ">= 0.25",
    "receive_batch_sqlite": ">= 0.40",
    "receive_batch_postgresql": ">= 0.35",
}


def measure(database: str) -> Iterator[Figure]:
    """Observations a second, one in each request and 288 in each."""
    with connection.cursor() as cursor:
        cursor.execute(bare.TABLE)
    keys = [DeviceKey.issue(station)[1] for station in Station.objects.of(make_village(8, ()))]
    connection.close()
    with ExitStack() as stack:
        env = dict(os.environ) | {"HUB_REPORTS_PER_MINUTE": "100000000"}
        if database == "postgresql":
            env["REDIS_URL"] = stack.enter_context(services.redis_server())
        ours = stack.enter_context(_served("network.wsgi:application", database, env))
        reference = stack.enter_context(_served("tests.bench.bare:application", database, env))
        for name, size in (("receive_one", 1), ("receive_batch", BATCH)):
            own, theirs = (_requests(path, keys, size) for path in ("/api/reports", "/"))
            name = f"{name}_{database}"
            value, bar, ratio = taking_turns(
                name,
                ROUNDS,
                lambda: size * load.answered(ours, own, LASTING),  # noqa: B023
                lambda: size * load.answered(reference, theirs, LASTING),  # noqa: B023
            )
            yield Figure(name, value, "observations/s", bar, ratio, BARS[name])


def _requests(path: str, keys: list[str], size: int) -> Iterator[bytes]:
    """Each station's reports in turn, every observation five minutes after the one before."""
    senders = cycle(keys)
    for turn in count():
        begin = 1_300_000_000 + size * 100_000 + turn // len(keys) * size * 300
        said = [b'{"time":%d,%s}' % (begin + 300 * i, SAID) for i in range(size)]
        yield load.post(path, next(senders), said[0] if size == 1 else b"[" + b",".join(said) + b"]")


@contextmanager
def _served(application: str, database: str, env: dict[str, str]) -> Iterator[int]:
    """The callable on a server of its own; yields its port."""
    port = free_port()
    command = [sys.executable, "-m"]
    if database == "sqlite":
        command += ["waitress", f"--listen=127.0.0.1:{port}", "--threads=6", application]
    else:
        command += ["gunicorn", f"--bind=127.0.0.1:{port}", "--workers=2", "--threads=4", application]
    with tempfile.TemporaryDirectory() as folder, background(command, Path(folder, "log"), env=env) as server:
        server.wait_until(lambda: _listens(port))
        yield port


def _listens(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0
