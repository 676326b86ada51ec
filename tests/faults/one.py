"""One job in a process of its own, with a database of its own: reads it as JSON and writes its result as JSON."""

import json
import os
import sys
from pathlib import Path
from typing import Any

import django
from django.core.management import call_command


def main(asked: str, out: str) -> None:
    """Do the job in the file ``asked``."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "network.settings"
    django.setup()
    call_command("migrate", verbosity=0)
    from tests.faults import hub, jobs

    hub.draw_nothing()
    job: dict[str, Any] = json.loads(Path(asked).read_text())
    result = jobs.JOBS[job.pop("job")](**job)
    Path(out).write_text(json.dumps(result))


if __name__ == "__main__":
    main(*sys.argv[1:])
