"""Jobs in processes of their own, two at once."""

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from tests.services import ROOT

AT_ONCE = 2
IN_MEMORY = Path("/dev/shm")
"""Where a database need not survive, if there is such a place."""

FAILED = "failed"
"""In the result of a job that failed."""

Job = dict[str, Any]
Result = dict[str, Any]


def done(jobs: Iterable[Job], at_once: int = AT_ONCE) -> Iterator[tuple[Job, Result]]:
    """Each job and its result, in the order asked."""
    jobs = list(jobs)
    with ThreadPoolExecutor(at_once) as threads:
        yield from zip(jobs, threads.map(run, jobs), strict=True)


def run(job: Job) -> Result:
    """Do one job; one that fails says so and leaves its figures missing."""
    place = IN_MEMORY if IN_MEMORY.is_dir() else None
    with tempfile.TemporaryDirectory(prefix="hub-faults-", dir=place) as folder:
        env = {name: value for name, value in os.environ.items() if not name.startswith("HUB_")}
        env |= {
            "DATABASE_URL": f"sqlite:///{folder}/hub.sqlite3",
            "HUB_DATA": folder,
            "HUB_SECRET_KEY": "only-to-measure",
            "OPENBLAS_NUM_THREADS": "1",
        }
        env.pop("REDIS_URL", None)
        asked, out = Path(folder, "job.json"), Path(folder, "result.json")
        asked.write_text(json.dumps(job))
        command = [sys.executable, "-m", "tests.faults.one", str(asked), str(out)]
        ended = subprocess.run(command, cwd=ROOT, env=env, check=False, capture_output=True, text=True)
        if ended.returncode:
            print(f"The job {job} failed: its figures are missing.\n{ended.stderr[-2000:]}", file=sys.stderr)
            return {FAILED: True}
        return json.loads(out.read_text())
