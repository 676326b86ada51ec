"""The programs lose nothing and say nothing twice, whatever happens to the line, the hub and the power."""

import itertools
import random
import time

from tests.boards.faulty_line import FAULTS, Line
from tests.boards.running import Board


def test_nothing_is_lost_or_told_twice(board: Board, line: Line) -> None:
    began = time.time()
    # The power goes at each step in turn: first of a board that forgets the time, then of one that does not.
    for forgets in (True, False):
        for step in itertools.count(1):
            if forgets:
                board.forget_the_time()
            if board.run(die_at=step):
                break
            if step % 4 == 0:  # or what is left grows faster than the steps that are tried
                board.run()
    # Then the line fails in each way at each of a report's requests, with the power as unsure.
    chance = random.Random(14)
    for fault, request in itertools.product(FAULTS, range(2)):
        line.to_come = ["well"] * request + [fault]
        for _ in range(3):
            board.patient()
            if chance.random() < 0.3:
                board.forget_the_time()
            board.run(die_at=chance.choice((0, 0, chance.randrange(1, 60))))
    line.to_come = []
    for _ in range(2):
        board.patient()
        board.run()
    assert not board.waiting
    assert set(FAULTS) <= set(line.met)
    assert len(board.written) > 40
    board.must_have_told_all()
    strange = [at for at, _ in board.stored() if not began - 300 <= at <= time.time() + 3]
    assert not strange


def test_hours_without_the_hub_are_told_later_in_one_report_and_it_is_seldom_tried(
    board: Board, line: Line
) -> None:
    board.run()
    line.to_come = ["cut"] * 1000
    for _ in range(6):
        board.run()
    assert line.met.count("cut") == 1  # it does not try again before the time it set itself
    line.to_come, line.met = [], []
    board.patient()
    board.run()
    assert not board.waiting and len(line.met) <= 2
    board.must_have_told_all()


def test_times_of_before_and_after_a_power_cut_are_both_told_true(board: Board, line: Line) -> None:
    board.run()  # the hub tells the time
    line.to_come = ["cut"] * 2
    board.run()
    board.patient()
    board.forget_the_time()
    board.run()
    line.to_come = []
    board.patient()
    board.run()
    now = time.time()
    assert [value for _, value in sorted(board.stored(), key=lambda one: one[1])] == [1, 2, 3, 4]
    assert all(now - 60 < at < now + 3 for at, _ in board.stored())


def test_the_waits_grow_and_keep_to_what_the_hub_asks(board: Board, line: Line) -> None:
    board.run()
    waits = []
    for fault in ("cut", "cut", "cut", "cut", "unwell"):
        line.to_come = [fault]
        tries = len(waits)
        (board.folder / "put_off").write_text(f"{tries} 0") if tries else None
        before = time.time()
        board.run()
        waits.append(int((board.folder / "put_off").read_text().split()[1]) - before)
    assert all(9 * 2**n <= wait <= 21 * 2**n for n, wait in enumerate(waits))


def test_the_key_is_never_printed(board: Board, line: Line) -> None:
    line.to_come = ["well", "swallowed", "nonsense"]
    for _ in range(4):
        board.patient()
        board.run()
    assert "202" in board.said and board.key not in board.said
