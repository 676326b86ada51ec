"""The bytes boards send are understood, and their times are what their clocks make of them."""

from zoneinfo import ZoneInfo

import numpy as np
import pytest

from network.demo.boards import read_boards, values_sent
from network.demo.speech import sent
from network.wire.message import decode
from tests.village import WEATHER, five_minutes

HOURS = five_minutes("2026-07-10", 0.125)
BOARDS = {board.station: board for board in read_boards(int(HOURS[-1]))}


def understood(board):
    zone = ZoneInfo(board.zone)
    return [decode(each.body, each.content_type, each.sent_at, zone) for each in sent(board, WEATHER, HOURS)]


@pytest.mark.parametrize("station", BOARDS)
def test_every_value_a_board_sends_is_understood(station):
    for message, values in zip(
        understood(BOARDS[station]), values_sent(BOARDS[station], WEATHER, HOURS), strict=True
    ):
        assert not message.refused
        assert {said.name: said.value for said in message.said} == pytest.approx(values)


@pytest.mark.parametrize("station", [name for name in BOARDS if name != "Skylark Bank"])
def test_times_are_those_of_the_period_measured(station):
    told = np.array([message.said[0].at for message in understood(BOARDS[station])])
    assert (told - HOURS >= 0).all()
    assert (told - HOURS < 30).all()  # a board without a clock leans on the moment of receipt


def test_slow_clock_is_an_hour_behind():
    told = np.array([message.said[0].at for message in understood(BOARDS["Skylark Bank"])])
    assert (HOURS - told == 3600).all()


def test_boards_send_soon_after_the_period_and_not_all_at_once():
    delays = {sent(board, WEATHER, HOURS[:1])[0].sent_at - HOURS[0] for board in BOARDS.values()}
    assert min(delays) > 0
    assert max(delays) < 30
    assert len(delays) > 4
