"""``python -m tests.bench [TOPIC ...]``: measure, print the table, write ``build/bench.json``."""

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests import services

TOPICS = {
    "receive": ("sqlite", "postgresql"),
    "store": ("sqlite", "postgresql"),
    "engines": ("none",),
    "maps": ("none",),
    "checks": ("sqlite",),
    "settle": ("sqlite", "postgresql"),
    "live": ("sqlite",),
    "pages": ("sqlite",),
}
"""Each topic is a module here; each runs once against each of these databases, in a process of its own."""

OUT = services.ROOT / "build" / "bench.json"
SHOWN = "{:<26} {:>12} {:<15} {:>12} {:>8}  {}"


def main(wanted: list[str]) -> None:
    """Measure the wanted topics, or all."""
    if unknown := set(wanted) - TOPICS.keys():
        raise SystemExit(f"There is no topic {min(unknown)!r}: use some of {', '.join(TOPICS)}.")
    print(SHOWN.format("name", "value", "unit", "reference", "ratio", "to reach"))
    figures = []
    for topic in wanted or TOPICS:
        for database in TOPICS[topic]:
            for figure in _measured(topic, database):
                figures.append(figure)
                _show(figure)
    OUT.parent.mkdir(exist_ok=True)
    kept = [{key: one[key] for key in ("name", "value", "unit", "reference", "ratio")} for one in figures]
    OUT.write_text(json.dumps(kept, indent=2) + "\n")


def _measured(topic: str, database: str) -> list[dict]:
    with tempfile.TemporaryDirectory(prefix="hub-bench-") as folder, _url(database, folder) as url:
        env = {name: value for name, value in os.environ.items() if not name.startswith("HUB_")}
        env |= {"DATABASE_URL": url, "HUB_DATA": folder, "HUB_SECRET_KEY": "only-to-measure"}
        env |= {
            "HUB_HOSTS": "127.0.0.1,testserver",
            "OPENBLAS_NUM_THREADS": "1",
        }  # one thread: steadier ratios
        env.pop("REDIS_URL", None)
        out = Path(folder, "figures.json")
        command = [sys.executable, "-m", "tests.bench.one", topic, database, str(out)]
        done = subprocess.run(command, cwd=services.ROOT, env=env, check=False)
        if done.returncode:
            print(f"{topic} on {database} failed: its figures are missing.", file=sys.stderr)
        return json.loads(out.read_text()) if out.exists() else []


@contextmanager
def _url(database: str, folder: str) -> Iterator[str]:
    if database == "postgresql":
        with services.postgresql(durable=True) as url:
            yield url
    else:
        yield f"sqlite:///{folder}/hub.sqlite3"


def _show(figure: dict) -> None:
    reference, ratio = (
        "" if figure[key] is None else f"{figure[key]:,.3g}" if figure[key] < 100 else f"{figure[key]:,.0f}"
        for key in ("reference", "ratio")
    )
    value = f"{figure['value']:,.3g}" if figure["value"] < 100 else f"{figure['value']:,.0f}"
    print(SHOWN.format(figure["name"], value, figure["unit"], reference, ratio, figure["bar"]), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
