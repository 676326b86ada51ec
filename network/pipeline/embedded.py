"""Worker and clock inside the web process: one village needs no broker and no second program.

The queue lives in memory and dies with the process. Nothing is lost by that: the ledger in the database
is the list of work, and the worker looks at it when it starts and every minute.
"""

import fcntl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from celery.beat import EmbeddedService
from django.conf import settings

from network.celery import app
from network.models import Work
from network.pipeline.ledger import work
from network.pipeline.tasks import look


class AlreadyRunning(RuntimeError):
    """Another process holds this hub's worker."""


@contextmanager
def running() -> Iterator[None]:
    """Run one Celery worker thread and the clock beside it until the block ends."""
    with _only_one(settings.DATA / "worker.lock"):
        worker = app.WorkController(
            pool="threads", concurrency=1, without_gossip=True, without_mingle=True, without_heartbeat=True
        )
        thread = threading.Thread(target=worker.start, name="worker", daemon=True)
        clock = EmbeddedService(app, thread=True, scheduler_cls=app.conf.beat_scheduler)
        Work.objects.update(claimed_until=0.0)  # nobody else works here: what a killed process held is free
        work.free_all()  # claims left behind by a process that was killed: nobody else can hold one
        thread.start()
        clock.start()
        look.delay()
        try:
            yield
        finally:
            clock.stop()
            worker.stop()
            thread.join(timeout=10)


@contextmanager
def _only_one(path: Path) -> Iterator[None]:
    with path.open("w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise AlreadyRunning(
                "Another process already runs this hub's worker: end it, or set REDIS_URL to have workers of their own."
            ) from None
        yield
