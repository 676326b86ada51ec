"""The same proofs on PostgreSQL with Redis beside it: the tests of these files once more, on a real server."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.services import ROOT, hub_environment

HERE = Path(__file__).parent
ALL = ""
FILES = {
    "ledger/test_work.py": ALL,
    "test_storage.py": ALL,
    # All of it again would take minutes more and prove the same arithmetic.
    "test_rebuild.py": "any_order or one_delivery or move_the_station or set_the_clock or change_unit",
}


@pytest.mark.parametrize("file, some", FILES.items())
def test_what_holds_on_sqlite_holds_on_postgresql(file, some, own_postgresql, redis_url, tmp_path):
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist"]
    env = hub_environment(tmp_path, own_postgresql, redis_url, {})
    done = subprocess.run(
        [*command, str(HERE / file), "-k", some],
        cwd=ROOT,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-2000:]
