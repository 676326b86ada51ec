"""What the hub needs around it, and the hub itself, as they run in earnest, for one test session.

Each is a context manager on a free loopback port and in a folder of its own, so sessions may run side by
side and whatever else runs on the machine is left alone. Where a program is missing the test that wants it
is skipped; with CI set it fails.
"""

import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn
from urllib.error import HTTPError, URLError
from urllib.request import urlopen

import pytest
import redis

from tests.processes import Running, background, free_port

ROOT = Path(__file__).parent.parent


@contextmanager
def postgresql(*, durable: bool = False) -> Iterator[str]:
    """A PostgreSQL server; yields its URL. ``durable`` waits for the disk, as in real use."""
    initdb, postgres, is_ready = map(_postgresql_program, ("initdb", "postgres", "pg_isready"))
    account = _server_account()
    with tempfile.TemporaryDirectory(prefix="hub-postgresql-") as folder:
        if account:
            shutil.chown(folder, account["user"], account["group"])
        port, data = free_port(), Path(folder, "data")
        create = [
            initdb,
            f"--pgdata={data}",
            "--username=hub",
            "--auth=trust",
            "--encoding=UTF8",
            "--no-sync",
        ]
        subprocess.run(create, check=True, cwd=folder, capture_output=True, **account)
        settings = [f"--port={port}", "--listen-addresses=127.0.0.1", f"--unix-socket-directories={folder}"]
        settings += [] if durable else ["--fsync=off", "--full-page-writes=off", "--synchronous-commit=off"]
        command, log = [postgres, f"-D{data}", *settings], Path(folder, "log")
        with background(command, log, stop=signal.SIGINT, cwd=folder, account=account) as server:
            ask = [is_ready, "--quiet", "--host=127.0.0.1", f"--port={port}"]
            server.wait_until(lambda: subprocess.run(ask, check=False).returncode == 0)
            yield f"postgresql://hub@127.0.0.1:{port}/postgres"


@contextmanager
def redis_server() -> Iterator[str]:
    """A Redis server that keeps nothing; yields its URL."""
    program = shutil.which("redis-server") or lacking("redis-server", package="redis-server")
    with tempfile.TemporaryDirectory(prefix="hub-redis-") as folder:
        port = free_port()
        command = [program, "--bind", "127.0.0.1", "--port", str(port), "--dir", folder, "--save", ""]
        with background(command, Path(folder, "log")) as server, redis.Redis(port=port) as client:
            server.wait_until(lambda: _answers_ping(client))
            yield f"redis://127.0.0.1:{port}/0"


@contextmanager
def mosquitto() -> Iterator[str]:
    """An MQTT broker that anybody may use; yields its URL."""
    program = shutil.which("mosquitto", path=f"{os.environ['PATH']}{os.pathsep}/usr/sbin")
    program = program or lacking("mosquitto", package="mosquitto")
    with tempfile.TemporaryDirectory(prefix="hub-mosquitto-") as folder:
        port, settings = free_port(), Path(folder, "conf")
        who = f"user {pwd.getpwuid(os.geteuid()).pw_name}\n"
        settings.write_text(f"listener {port} 127.0.0.1\nallow_anonymous true\n{who}")
        with background([program, "-c", str(settings)], Path(folder, "log")) as broker:
            broker.wait_until(lambda: _listens(port))
            yield f"mqtt://127.0.0.1:{port}"


def chromium() -> str:
    """Where the browser for the tests is."""
    found = map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))
    return next(filter(None, found), None) or lacking("chromium", package="chromium")


@dataclass(frozen=True)
class LiveHub(Running):
    """A hub that answers at ``url`` and keeps its things in ``data``."""

    url: str
    data: Path


@contextmanager
def live_hub(
    *,
    database_url: str | None = None,
    redis_url: str | None = None,
    data: Path | None = None,
    environment: Mapping[str, str] | None = None,
) -> Iterator[LiveHub]:
    """The real site, `manage.py serve`, ready to be asked; ``.kill()`` ends it as a power cut would.

    Without ``database_url`` it keeps SQLite in ``data``, without ``redis_url`` it has its worker inside.
    Give the ``data`` of a killed hub to start it again where it stopped.
    """
    with tempfile.TemporaryDirectory(prefix="hub-data-") as folder:
        data, port = data or Path(folder), free_port()
        url = f"http://127.0.0.1:{port}"
        env = hub_environment(data, database_url, redis_url, {"PORT": str(port), "HUB_SITE_URL": url})
        env |= environment or {}
        manage = [sys.executable, str(ROOT / "manage.py")]
        subprocess.run([*manage, "migrate", "--no-input", "--verbosity=0"], check=True, cwd=ROOT, env=env)
        with background([*manage, "serve"], data / "serve.log", cwd=ROOT, env=env) as server:
            server.wait_until(lambda: _answers(f"{url}/healthz"))
            yield LiveHub(server.process, server.log, url, data)


@contextmanager
def live_worker(database_url: str, redis_url: str, data: Path) -> Iterator[Running]:
    """A Celery worker of its own, with the clock inside, beside a hub that shares ``data``."""
    command = [sys.executable, "-m", "celery", "--app=network", "worker", "--beat", "--loglevel=info"]
    command += ["--concurrency=2"]
    env = hub_environment(data, database_url, redis_url, {})
    with background(command, data / "worker.log", cwd=ROOT, env=env) as worker:
        worker.wait_until(lambda: " ready." in worker.said())
        yield worker


def lacking(program: str, *, package: str) -> NoReturn:
    """Skip the test for want of a program; in CI, where everything must be there, fail it."""
    sentence = f"{program} is not installed. On Debian or Ubuntu: sudo apt-get install {package}"
    if os.environ.get("CI"):
        pytest.fail(sentence)
    pytest.skip(sentence)


def hub_environment(
    data: Path, database_url: str | None, redis_url: str | None, more: Mapping[str, str]
) -> dict[str, str]:
    """Our own environment with the hub's settings in it, and no one else's."""
    env = {name: value for name, value in os.environ.items() if not name.startswith("HUB_")}
    env |= {"HUB_SECRET_KEY": "only-for-tests", "HUB_HOSTS": "127.0.0.1", "HUB_DATA": str(data), **more}
    env["DATABASE_URL"] = database_url or f"sqlite:///{data / 'hub.sqlite3'}"
    env.pop("REDIS_URL", None)
    return env | ({"REDIS_URL": redis_url} if redis_url else {})


def _postgresql_program(name: str) -> str:
    """Where Debian keeps the server's programs, off the PATH; a namesake on the PATH may be a stranger."""
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    if pg_config := shutil.which("pg_config"):
        asked = subprocess.run([pg_config, "--bindir"], check=True, capture_output=True, text=True)
        folders.insert(0, Path(asked.stdout.strip()))
    found = (str(folder / name) for folder in folders if (folder / name).exists())
    return next(found, None) or lacking(f"PostgreSQL's {name}", package="postgresql")


def _server_account() -> dict[str, Any]:
    """Whom to run PostgreSQL as: it refuses to be root."""
    if os.geteuid() != 0:
        return {}
    names = {entry.pw_name for entry in pwd.getpwall()}
    entry = pwd.getpwnam("postgres" if "postgres" in names else "nobody")
    return {"user": entry.pw_uid, "group": entry.pw_gid, "extra_groups": []}


def _answers_ping(client: redis.Redis) -> bool:
    try:
        return bool(client.ping())
    except redis.ConnectionError:
        return False


def _listens(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def _answers(url: str) -> bool:
    try:
        with urlopen(url, timeout=5) as response:
            return bool(response.status == 200)
    except HTTPError as refusal:
        raise RuntimeError(f"{url} answered {refusal.code}: {refusal.read(500)!r}") from refusal
    except (URLError, OSError):
        return False
