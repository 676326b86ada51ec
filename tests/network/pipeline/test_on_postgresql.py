"""The same proofs on PostgreSQL with Redis beside it: the tests of these files once more, on a real server."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.services import ROOT, hub_environment

HERE = Path(__file__).parent
FILES = ("test_work.py", "test_storage.py", "test_rebuild.py")


@pytest.mark.parametrize("file", FILES)
def test_what_holds_on_sqlite_holds_on_postgresql(file, own_postgresql, redis_url, tmp_path):
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist"]
    env = hub_environment(tmp_path, own_postgresql, redis_url, {})
    done = subprocess.run(
        [*command, str(HERE / file)], cwd=ROOT, env=env, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-2000:]
