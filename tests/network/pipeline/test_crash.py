"""Killed as by a power cut, for real: every acknowledged report is there, and the end is what a rebuild makes."""

import json
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from http.client import HTTPConnection, HTTPException
from urllib.parse import urlsplit

import psycopg
import redis

from tests.network.pipeline import beside
from tests.services import LiveHub, hub_environment, live_hub, live_worker

OFTEN = {"HUB_REPORTS_PER_MINUTE": "100000"}
AT_ONCE = 12  # observations in a request: an hour of five-minute reports


class Boards:
    """Three boards that send what they have until it is acknowledged, as devices do."""

    def __init__(self, stations: list[tuple[str, list[dict[str, float]]]]) -> None:
        self.waiting = [
            (key, json.dumps(said[first : first + AT_ONCE]))
            for first in range(0, len(stations[0][1]), AT_ONCE)
            for key, said in stations
        ]
        self.acknowledged: list[str] = []

    def send(self, hub: LiveHub, count: int, then: Callable[[], None] = lambda: None) -> None:
        """Send so many of the reports that wait; ``then`` happens before the last answer is read."""
        address = urlsplit(hub.url)
        with closing(HTTPConnection(address.hostname, address.port, timeout=20)) as connection:
            for turn, (key, body) in enumerate(self.waiting[:count]):
                headers = {"Authorization": f"Bearer {key}", "Content-Type": "application/json"}
                connection.request("POST", "/api/reports", body, headers)
                if turn == count - 1:
                    then()
                try:
                    answer = connection.getresponse()
                    said = answer.read()
                except (OSError, HTTPException):
                    break  # nothing was acknowledged: it is sent again another time
                assert answer.status == 202, said
                self.acknowledged.append(body)
        self.waiting = [report for report in self.waiting if report[1] not in set(self.acknowledged)]


def wait_for_work(count: Callable[[], int]) -> None:
    """Until the worker is in the middle of things."""
    deadline = time.monotonic() + 60
    while not count():
        assert time.monotonic() < deadline, "The worker did not begin within a minute."
        time.sleep(0.05)


def assert_all_is_there(boards: Boards, end: dict) -> None:
    assert not boards.waiting
    assert sorted(end["reports"]) == sorted(boards.acknowledged)
    assert end["same"]
    assert end["rows"]["Observation"] == 3 * 432
    assert end["rows"]["Comparison"] > 0 and end["rows"]["VillageMap"] > 0


def test_an_embedded_hub_killed_twice_loses_nothing(tmp_path):
    env = hub_environment(tmp_path, None, None, {})
    database = tmp_path / "hub.sqlite3"

    def observations() -> int:
        with closing(sqlite3.connect(f"file:{database}?mode=ro", uri=True, timeout=20)) as connection:
            return connection.execute("SELECT count(*) FROM network_observation").fetchone()[0]

    with live_hub(data=tmp_path, environment=OFTEN) as hub:
        boards = Boards(beside.ask("found", env))
        boards.send(hub, 40)
        wait_for_work(observations)
        boards.send(hub, 20, then=hub.kill)
    with live_hub(data=tmp_path, environment=OFTEN) as hub:
        before = observations()
        boards.send(hub, 30)
        wait_for_work(lambda: observations() != before)
        boards.send(hub, 10, then=hub.kill)
    with live_hub(data=tmp_path, environment=OFTEN) as hub:
        boards.send(hub, 1000)
    assert_all_is_there(boards, beside.ask("finish", env))


def test_killed_workers_and_a_flushed_broker_lose_nothing(tmp_path, own_postgresql, redis_url):
    env = hub_environment(tmp_path, own_postgresql, redis_url, {})

    def observations() -> int:
        with psycopg.connect(own_postgresql) as connection:
            return connection.execute("SELECT count(*) FROM network_observation").fetchone()[0]

    services = {"database_url": own_postgresql, "redis_url": redis_url, "data": tmp_path}
    with live_hub(**services, environment=OFTEN) as hub:
        boards = Boards(beside.ask("found", env))
        with live_worker(**services) as worker:
            boards.send(hub, 40)
            wait_for_work(observations)
            boards.send(hub, 20)
            worker.kill()
        with redis.Redis.from_url(redis_url) as broker:
            broker.flushall()
        boards.send(hub, 10, then=hub.kill)
    with live_hub(**services, environment=OFTEN) as hub, live_worker(**services) as worker:
        boards.send(hub, 1000)
        worker.kill()
    assert_all_is_there(boards, beside.ask("finish", env))
