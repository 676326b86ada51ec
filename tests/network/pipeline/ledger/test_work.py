"""The ledger of work: claimed by one worker at a time, finished or put off, never forgotten."""

from datetime import UTC, datetime

import pytest

from network.models import Work
from network.pipeline.ledger import blocks, work
from tests.network.made_village import found_village

pytestmark = pytest.mark.django_db

BLOCK = int(datetime(2026, 3, 27, tzinfo=UTC).timestamp())
NEXT = BLOCK + blocks.BLOCK
CHECK, NORMALISE, MAP = Work.Stage.CHECK, Work.Stage.NORMALISE, Work.Stage.MAP


@pytest.fixture
def village():
    return found_village().pk


@pytest.fixture
def five_minutes_later(monkeypatch):
    """Lets the claims there are run out."""

    def wait():
        later = work.time.time() + work.CLAIM_SECONDS + 1
        monkeypatch.setattr(work.time, "time", lambda: later)

    return wait


def ledger(village):
    return list(Work.objects.filter(village=village).order_by("block", "stage").values_list("stage", "block"))


def doing(*done):
    """Stages that only note what they were asked, in ``done``."""
    return {
        stage: lambda village, block, run=1, stage=stage: lambda: done[0].append((stage, block, run))
        for stage in Work.Stage
    }


def test_what_is_marked_twice_stands_in_the_ledger_once(village):
    work.mark(village, CHECK, [BLOCK, NEXT, BLOCK])
    work.mark(village, CHECK, [NEXT])
    assert ledger(village) == [(CHECK, BLOCK), (CHECK, NEXT)]


def test_reports_are_understood_before_anything_is_made_of_them(village):
    work.mark(village, MAP, [BLOCK])
    work.mark(village, CHECK, [BLOCK])
    work.mark(village, NORMALISE, [BLOCK, NEXT])
    done = []
    while work.do_next(doing(done)):
        pass
    assert [stage for stage, _, _ in done] == [NORMALISE, NORMALISE, CHECK, MAP]
    assert ledger(village) == []


def test_while_one_works_for_a_village_nobody_else_does(village):
    work.mark(village, CHECK, [BLOCK, NEXT])
    assert work.claim() is not None
    assert work.claim() is None


def test_villages_are_worked_for_side_by_side(village):
    other = found_village(name="Upper Aldenbrook").pk
    work.mark(village, CHECK, [BLOCK])
    work.mark(other, CHECK, [BLOCK])
    assert {work.claim().village_id, work.claim().village_id} == {village, other}
    assert work.claim() is None


def test_only_the_village_asked_for_is_worked_for(village):
    work.mark(found_village(name="Upper Aldenbrook").pk, CHECK, [BLOCK])
    assert work.claim(village) is None


def test_a_claim_left_behind_by_a_killed_worker_runs_out(village, five_minutes_later):
    work.mark(village, CHECK, [BLOCK])
    left = work.claim()
    five_minutes_later()
    assert work.claim().pk == left.pk


def test_results_of_a_claim_that_ran_out_are_not_kept(village, five_minutes_later):
    work.mark(village, CHECK, [BLOCK])
    slow = work.claim()
    five_minutes_later()
    with pytest.raises(work.ClaimLost), work.keeping(slow):
        pytest.fail("The slow worker was let write.")
    assert ledger(village) == [(CHECK, BLOCK)]


def test_results_of_a_claim_taken_over_are_not_kept(village):
    work.mark(village, CHECK, [BLOCK])
    slow = work.claim()
    Work.objects.update(claimed_until=0.0)
    work.claim()
    with pytest.raises(work.ClaimLost), work.keeping(slow):
        pytest.fail("The slow worker was let write.")


def test_what_is_marked_again_while_it_is_done_is_done_again(village):
    work.mark(village, CHECK, [BLOCK])
    done = []

    def check(village, block, run):
        if not done:
            work.mark(village, CHECK, [block])  # a report arrives meanwhile
        return lambda: done.append(block)

    assert work.do_next({CHECK: check})
    assert ledger(village) == [(CHECK, BLOCK)]
    assert work.do_next({CHECK: check})
    assert done == [BLOCK, BLOCK]
    assert ledger(village) == []


def test_a_failure_is_put_off_with_its_reason_and_writes_nothing(village):
    work.mark(village, CHECK, [BLOCK, NEXT])

    def check(village, block, run):
        def keep():
            work.mark(village, MAP, [block])
            raise ValueError("The thermometer melted.")

        return keep

    failed = work.do_next({CHECK: check})
    row = Work.objects.get(pk=failed.pk)
    assert row.problem == "ValueError: The thermometer melted."
    assert (row.attempts, row.claim) == (1, "")
    assert row.due_at > work.time.time()
    assert not Work.objects.filter(stage=MAP).exists()
    assert work.claim().block != failed.block


def test_a_worker_that_dies_while_it_keeps_leaves_nothing_half_written(village):
    work.mark(village, CHECK, [BLOCK])

    def keep():
        work.mark(village, MAP, [BLOCK])
        raise SystemExit

    with pytest.raises(SystemExit):
        work.do_next({CHECK: lambda village, block, run: keep})
    assert ledger(village) == [(CHECK, BLOCK)]


def test_blocks_in_a_row_are_judged_together(village):
    alone = NEXT + 2 * blocks.BLOCK
    work.mark(village, CHECK, [BLOCK, NEXT, alone])
    done = []
    while work.do_next(doing(done)):
        pass
    assert done == [(CHECK, BLOCK, 2), (CHECK, alone, 1)]
    assert ledger(village) == []


def test_of_those_done_together_only_what_is_marked_again_is_done_again(village):
    work.mark(village, CHECK, [BLOCK, NEXT])
    work.do_next({CHECK: lambda village, block, run: lambda: work.mark(village, CHECK, [NEXT])})
    assert ledger(village) == [(CHECK, NEXT)]
    assert work.claim() is not None


def test_what_fails_together_is_done_alone(village):
    work.mark(village, CHECK, [BLOCK, NEXT, NEXT + blocks.BLOCK])
    work.do_next({})
    tried = []
    while work.do_next(doing(tried)):
        pass
    assert tried == [(CHECK, NEXT, 1), (CHECK, NEXT + blocks.BLOCK, 1)]
    assert ledger(village) == [(CHECK, BLOCK)]


def test_what_was_put_off_is_due_at_once_when_it_is_marked_again(village):
    work.mark(village, CHECK, [BLOCK])
    work.do_next({})
    assert work.claim() is None
    work.mark(village, CHECK, [BLOCK])
    assert work.claim() is not None


def test_changed_observations_are_checked_from_six_hours_before_to_a_day_after(village):
    # The checks look a day back and six hours ahead, so what they saw of a changed reading is this wide.
    work.mark_observations(village, BLOCK, BLOCK)
    checked = [block for stage, block in ledger(village) if stage == CHECK]
    reached = range(blocks.block_of(BLOCK - 6 * 3600), BLOCK + 24 * 3600 + 1, blocks.BLOCK)
    assert checked == list(reached)
