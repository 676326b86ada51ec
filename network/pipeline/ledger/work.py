"""The ledger kept: marking what must be computed again, claiming it, doing it, finishing it."""

import secrets
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from functools import partial
from itertools import takewhile

from django.db import connection, models, transaction

from network.models import Work
from network.pipeline.ledger import blocks
from stations.models import Village

CLAIM_SECONDS = 180.0
PATIENCE = (5.0, 30.0, 120.0, 600.0, 3600.0)
"""[s] How long a stage that failed is left alone: after the first failure, the second, and so on."""


TOGETHER = {Work.Stage.CHECK: 5}
"""How many blocks in a row a stage may do at once: where many are due, what lies around each is looked at once."""

LONG_RUN_WAITS = 3600.0
"""[s] What weeks show can wait: in this time new readings are gathered before the long run looks again."""


class ClaimLost(Exception):
    """The claim ran out, so another may have begun: what this worker computed must not be kept."""


def mark(village: int, stage: Work.Stage, starts: Iterable[int], due_at: float = 0.0) -> None:
    """Note that these blocks' stage must be done (again), not before ``due_at`` unless it was due already.

    Belongs into the transaction of the cause.
    """
    generation = secrets.randbits(62)
    # In order of time, so that two that mark at once wait for each other instead of locking each other out.
    rows = [(village, int(stage), block, generation, due_at) for block in sorted(set(starts))]
    if rows:
        with connection.cursor() as cursor:
            if len(rows) == 1:
                cursor.execute(_MARK, rows[0])
            else:
                cursor.executemany(_MARK, rows)


_MARK = """
    INSERT INTO network_work (village_id, stage, block, generation, due_at, claim, claimed_until, attempts, problem)
    VALUES (%s, %s, %s, %s, %s, '', 0, 0, '')
    ON CONFLICT (village_id, stage, block) DO UPDATE SET
        generation = excluded.generation,
        due_at = CASE WHEN excluded.due_at < network_work.due_at THEN excluded.due_at ELSE network_work.due_at END,
        attempts = 0
"""


def mark_reports(village: int, begins_at: float, ends_at: float) -> None:
    """Note that reports between the two times came or mean something else now."""
    mark(village, Work.Stage.NORMALISE, blocks.blocks(begins_at, ends_at))


def mark_observations(village: int, begins_at: float, ends_at: float) -> None:
    """Note that observations between the two times changed: all that looks at them must look again."""
    newest = time.time() + blocks.BLOCK  # later blocks have nothing to look at yet
    mark_checks(village, begins_at - blocks.AHEAD, min(ends_at + blocks.CONTEXT, newest))
    mark_long_run(village, begins_at, ends_at)
    mark_verdicts(village, begins_at, ends_at)


def mark_checks(village: int, begins_at: float, ends_at: float) -> None:
    """Note that readings between the two times must be judged again."""
    mark(village, Work.Stage.CHECK, blocks.blocks(begins_at, ends_at))


def mark_verdicts(village: int, begins_at: float, ends_at: float) -> None:
    """Note that values or verdicts between the two times changed."""
    # A reading at a block's beginning ends a period of the block before; an hour's rain reaches into the next.
    span = list(blocks.blocks(begins_at - 1, ends_at + blocks.HOUR))
    for stage in (Work.Stage.COMPARE, Work.Stage.MAP, Work.Stage.SUMMARISE, Work.Stage.RAISE_CASES):
        mark(village, stage, span)
    mark_learning(village, begins_at - 1, ends_at + blocks.HOUR)


def mark_maps(village: int, begins_at: float, ends_at: float) -> None:
    """Note that maps between the two times, as far as they are past, are to be drawn anew."""
    mark(village, Work.Stage.MAP, blocks.blocks(begins_at, min(ends_at, time.time())))


def mark_learning(village: int, begins_at: float, ends_at: float) -> None:
    """Note that values or verdicts between the two times changed: the maps of the spell after learn from them.

    In time, as the long run; and for a spell to come not before it is near.
    """
    for spell in blocks.spells_after(begins_at, ends_at):
        due_at = max(time.time(), spell - 2 * LONG_RUN_WAITS) + LONG_RUN_WAITS
        mark(village, Work.Stage.LEARN, [spell], due_at)


def mark_long_run(village: int, begins_at: float, ends_at: float) -> None:
    """Note that observations or departures between the two times changed: the long run looks at them in time.

    Also in spells to come, whose scorecards stand on what is known by now should nothing be heard any more.
    """
    spells = blocks.spells(begins_at, ends_at)
    mark(village, Work.Stage.LONG_RUN, spells, due_at=time.time() + LONG_RUN_WAITS)


def hurry(village: int | None = None) -> bool:
    """Make the long run due at once where it waits, else the learning; whether either did. What failed stays put off."""
    waiting = Work.objects.filter(due_at__gt=time.time(), attempts=0)
    if village:
        waiting = waiting.filter(village=village)
    stages = (Work.Stage.LONG_RUN, Work.Stage.LEARN)
    return any(waiting.filter(stage=stage).update(due_at=0.0) for stage in stages)


def claim(village: int | None = None) -> Work | None:
    """Take the next piece of work for a while, with those that follow it if they can be done together; None when
    nothing is due.

    One worker at a time works for a village: pieces look at each other's rows, and what one computed from
    rows that another changes meanwhile would bring the old ones back.
    """
    now = time.time()
    with transaction.atomic():
        at_work = Work.objects.filter(claimed_until__gt=now)
        due = Work.objects.free(now).in_order(now).exclude(village__in=at_work.values("village"))
        first = (due.filter(village=village) if village else due).first()
        if first is None or not _village(first.village_id, skip_locked=True).exists():
            return None
        work = due.filter(village=first.village_id).first()  # now that nobody else can begin
        if work is not None:
            run = _run(work, due.filter(village=work.village_id, stage=work.stage))
            work.taken = {one.pk: one.generation for one in run}
            work.claim, work.claimed_until = secrets.token_hex(16), now + CLAIM_SECONDS
            Work.objects.filter(pk__in=work.taken).update(claim=work.claim, claimed_until=work.claimed_until)
    return work


def _run(first: Work, due: models.QuerySet[Work]) -> list[Work]:
    """The row and those of the blocks after it, as many as may be done together; one that failed alone."""
    most = 1 if first.attempts else TOGETHER.get(Work.Stage(first.stage), 1)
    after = [first.block + i * blocks.BLOCK for i in range(1, most)]
    found = {one.block: one for one in due.filter(block__in=after, attempts=0)} if after else {}
    return [first, *(found[block] for block in takewhile(found.__contains__, after))]


def _village(pk: int, skip_locked: bool = False) -> models.QuerySet[Village]:
    """The village, held until the transaction ends against others who work for it; reports still come in."""
    return Village.objects.filter(pk=pk).select_for_update(skip_locked=skip_locked, no_key=True)


@contextmanager
def keeping(work: Work) -> Iterator[None]:
    """The transaction in which results are written and the row is finished, or neither."""
    with transaction.atomic():
        mine = Work.objects.filter(village=work.village_id, claim=work.claim)
        _village(work.village_id).get()
        if not mine.filter(claimed_until__gt=time.time()).select_for_update().exists():
            raise ClaimLost
        yield
        done = {pk for pk, now in mine.values_list("pk", "generation") if now == work.taken[pk]}
        mine.filter(pk__in=done).delete()
        # What was marked again meanwhile stays, free to be taken at once.
        mine.update(claim="", claimed_until=0.0)


def do_next(
    stages: Mapping[int, Callable[..., Callable[[], None]]], village: int | None = None
) -> Work | None:
    """Do one piece of work and return it; None when there is none.

    A stage computes without a lock and returns what writes its results. A failure puts the row off and
    leaves the reason on it for the steward to read.
    """
    work = claim(village)
    if work is None:
        return None
    try:
        keep = computed(work, stages)
        with keeping(work):
            keep()
    except ClaimLost:
        Work.objects.filter(pk__in=work.taken).update(
            attempts=models.F("attempts") + 1,
            problem=f"It took longer than {CLAIM_SECONDS:.0f} s and was taken over.",
        )
    except Exception as error:
        put_off(work, error)
    return work


def computed(work: Work, stages: Mapping[int, Callable[..., Callable[[], None]]]) -> Callable[[], None]:
    """What writes the results of a piece of work."""
    together = {"run": len(work.taken)} if work.stage in TOGETHER else {}
    return stages[work.stage](work.village_id, work.block, **together)


def free_all() -> None:
    """Give every claim back. Only for who knows that no other worker runs."""
    Work.objects.exclude(claim="").update(claim="", claimed_until=0.0)


def put_off(work: Work, error: Exception) -> None:
    """Leave a failed row alone for a while, with the reason on it; those taken with it are done alone."""
    wait = PATIENCE[min(work.attempts, len(PATIENCE) - 1)]
    mine = Work.objects.filter(pk__in=work.taken, claim=work.claim)
    mine.exclude(pk=work.pk).update(claim="", claimed_until=0.0, attempts=1)
    mine.update(
        claim="",
        claimed_until=0.0,
        due_at=time.time() + wait,
        attempts=work.attempts + 1,
        problem=f"{type(error).__name__}: {error}",
    )


def nothing() -> None:
    """What a stage returns when there is nothing to write."""


then = partial
"""Reads well where a stage returns what is to be written: ``then(_write, rows)``."""
