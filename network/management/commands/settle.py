"""manage.py settle: finish all recorded work in the foreground."""

import time

from django.core.management.base import BaseCommand, CommandError
from tqdm import tqdm

from network.management.tables import need_tables
from network.models import Work
from network.pipeline.settle import settle


class Command(BaseCommand):
    help = "Finish all recorded work now and say what was done."

    def handle(self, *args: object, **options: object) -> None:
        need_tables()
        began = time.monotonic()
        with tqdm(unit="piece", desc="settling", delay=2, leave=False) as bar:

            def progress(done: int, left: int) -> None:
                bar.total, bar.n = done + left, done
                bar.update(0)

            done = settle(progress=progress)
        said = ", ".join(f"{stage} {count}" for stage, count in done.items()) or "nothing was due"
        self.stdout.write(f"Settled in {time.monotonic() - began:.1f} s: {said}.")
        if (failed := Work.objects.exclude(problem="").first()) is not None:
            raise CommandError(f"Left in the ledger: {failed}. {failed.problem}")
