"""Finishing all recorded work in the foreground, and saying what was done."""

import time
from collections import Counter
from collections.abc import Callable

from network.models import Work
from network.pipeline.ledger import work
from network.pipeline.stages import STAGES


def settle(
    village: int | None = None, progress: Callable[[int, int], None] = lambda done, left: None
) -> Counter[str]:
    """Do whatever is due until nothing is; returns how often each stage was done.

    ``progress`` is told after each piece how many are done and how many are left. What failed is put off
    and stays in the ledger with its reason.
    """
    done: Counter[str] = Counter()
    waiting = Work.objects.filter(village=village) if village else Work.objects.all()
    while True:
        piece = work.do_next(STAGES, village)
        if piece is None:
            if work.hurry(village):
                continue
            if not waiting.filter(due_at__lte=time.time()).exists():
                return done
            time.sleep(0.5)  # another worker has it in hand, or had when it died: its claim runs out
            continue
        done[piece.get_stage_display()] += 1
        progress(sum(done.values()), waiting.filter(due_at__lte=time.time()).count())
