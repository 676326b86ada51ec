"""The demo's past: a month of reports handed in at once, and the last half hour delivered live."""

import json
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from threading import Event, Thread

import numpy as np
from django.db import transaction

from network.demo.boards import Board, values_sent
from network.demo.speech import sent
from network.demo.weather import PERIOD, Weather
from network.pipeline.intake.receive import Sender, receive

STEP = int(PERIOD)
CLOCKLESS = ("none", "age")
BUFFERED = 72
"""Observations in one report of the past: the boards had gathered six hours each."""

CATCH_UP = 1.5
"""[s] Between the reports that the live delivery begins with, so that one can watch them arrive."""


def hand_in(board: Board, sender: Sender, weather: Weather, begins_at: int, ends_at: int) -> Iterator[int]:
    """Receive a board's past; yields the number of observations after each report."""
    for first in range(begins_at, ends_at, BUFFERED * STEP):
        seconds = np.arange(first, min(first + BUFFERED * STEP, ends_at), STEP)
        gathered = [
            {"time": int(at) - board.behind, **values}
            for at, values in zip(seconds, values_sent(board, weather, seconds), strict=True)
            if values
        ]
        with transaction.atomic():
            receive(sender, json.dumps(gathered).encode(), "application/json", float(seconds[-1] + STEP))
        yield len(seconds)


@contextmanager
def delivered(
    address: str, boards: list[Board], keys: Mapping[str, str], weather: Weather, since: int
) -> Iterator[None]:
    """While the block runs, every board posts over HTTP: first what is late, then every five minutes."""
    ended = Event()
    thread = Thread(target=_deliver, args=(address, boards, keys, weather, since, ended.wait), daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join(timeout=5)


def _deliver(
    address: str,
    boards: list[Board],
    keys: Mapping[str, str],
    weather: Weather,
    since: int,
    wait: Callable[[float], bool],
) -> None:
    at = since
    while True:
        reports = sorted(
            (report.sent_at, board.station, report)
            for board in boards
            if board.clock not in CLOCKLESS or at > time.time() - STEP
            for report in sent(board, weather, np.array([at]))
        )
        for sent_at, station, report in reports:
            late = sent_at - time.time()
            if wait(late if late > 0 else CATCH_UP / len(boards)):
                return
            _post(f"{address}api/reports", keys[station], report.content_type, report.body)
        at += STEP


def _post(address: str, key: str, content_type: str, body: bytes) -> None:
    headers = {"Authorization": f"Bearer {key}", "Content-Type": content_type}
    try:
        with urllib.request.urlopen(urllib.request.Request(address, body, headers), timeout=30):
            pass
    except (urllib.error.URLError, OSError) as error:
        print(f"a board could not report: {error}")
