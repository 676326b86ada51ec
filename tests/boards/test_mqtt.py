"""Boards that speak MQTT, to a real broker with the hub's listener behind it."""

import json
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace
from urllib.parse import urlsplit

import cbor2
import pytest
from django.db import OperationalError
from paho.mqtt.client import Client, MQTTv5, MQTTv311
from paho.mqtt.enums import CallbackAPIVersion
from paho.mqtt.packettypes import PacketTypes
from paho.mqtt.properties import Properties

from network.management import mqtt
from tests import services
from tests.boards.running import stored_at
from tests.processes import background
from tests.services import ROOT, LiveHub, hub_environment


@pytest.fixture(scope="module")
def broker() -> Iterator[str]:
    with services.mosquitto() as url:
        yield url


@contextmanager
def listener(hub: LiveHub, broker: str, log: Path, protocol: str = "5") -> Iterator[None]:
    """The hub's listener at the broker, for as long as the block lasts."""
    env = hub_environment(hub.data, None, None, {"HUB_MQTT_URL": broker})
    command = [sys.executable, "manage.py", "listen_mqtt", "--protocol", protocol]
    with background(command, log, cwd=ROOT, env=env) as running:
        running.wait_until(lambda: "listening" in running.said())
        yield


def publish(broker: str, station: int, payload: bytes, protocol: int = MQTTv311, key: str = "") -> None:
    """What a board does: connect, publish with quality of service 1, wait for the broker's word, go."""
    board = Client(CallbackAPIVersion.VERSION2, protocol=protocol)
    board.connect("127.0.0.1", urlsplit(broker).port or 1883)
    board.loop_start()
    said = Properties(PacketTypes.PUBLISH)
    if key:
        said.UserProperty = ("key", key)
    sent = board.publish(f"stations/{station}/reports", payload, qos=1, properties=said if key else None)
    sent.wait_for_publish(20)
    board.disconnect()
    board.loop_stop()


def until(true: Callable[[], bool], seen: object = None) -> None:
    deadline = time.monotonic() + 90
    while not true():
        assert time.monotonic() < deadline, seen
        time.sleep(0.05)


@pytest.mark.parametrize("protocol", ["5", "3.1.1"])
def test_a_report_is_stored_once_by_either_version(hub, stations, broker, tmp_path, protocol):
    station, key = next(stations)
    now = int(time.time())
    with listener(hub, broker, tmp_path / "log", protocol):
        spoken = json.dumps([{"key": key, "time": now, "rain": 1}]).encode()
        for version in (MQTTv311, MQTTv5, MQTTv311):
            publish(broker, station, spoken, version)
        publish(broker, station, json.dumps([{"key": key, "time": now + 1, "rain": 2}]).encode())
        until(lambda: (now + 1, 2) in stored_at(hub, station))
    assert sorted(stored_at(hub, station)) == [(now, 1), (now + 1, 2)]


def test_what_comes_while_nobody_listens_waits_at_the_broker(hub, stations, broker, tmp_path):
    station, key = next(stations)
    now = int(time.time())
    with listener(hub, broker, tmp_path / "log"):
        pass
    publish(broker, station, json.dumps([{"key": key, "time": now, "rain": 3}]).encode())
    assert not stored_at(hub, station)
    with listener(hub, broker, tmp_path / "again"):
        until(lambda: stored_at(hub, station) == [(now, 3)])


def test_a_board_is_told_what_became_of_its_report(hub, stations, broker, tmp_path):
    station, key = next(stations)
    other, _ = next(stations)
    answers: list[dict] = []
    ear = Client(CallbackAPIVersion.VERSION2)
    ear.on_message = lambda client, data, message: answers.append(json.loads(message.payload))
    # Only theirs: what an earlier listener stored and could not acknowledge any more comes to this one again.
    own = [(f"stations/{number}/reports/answer", 0) for number in (station, other)]
    ear.on_connect = lambda client, *_: client.subscribe(own)
    ear.connect("127.0.0.1", urlsplit(broker).port or 1883)
    ear.loop_start()
    pack = cbor2.dumps([{0: "rain", 2: 0.2, -3: int(time.time())}])
    with listener(hub, broker, tmp_path / "log"):
        publish(broker, station, pack, MQTTv5, key)
        publish(broker, other, pack, MQTTv5, key)
        publish(broker, station, b"rain=1&key=nonsense")
        publish(broker, station, b"rain=1")
        until(lambda: len(answers) == 4, answers)
    ear.disconnect()
    ear.loop_stop()
    assert [answer["status"] for answer in answers] == [202, 403, 401, 401]
    assert answers[0]["readings"] == 1 and "another station" in answers[1]["error"]


def test_what_could_not_be_stored_is_not_acknowledged(monkeypatch):
    def locked(message: object) -> None:
        raise OperationalError("database is locked")

    monkeypatch.setattr(mqtt, "take", locked)
    done: list[str] = []
    client = SimpleNamespace(
        ack=lambda *_: done.append("ack"),
        disconnect=lambda: done.append("disconnect"),
        publish=lambda *_: done.append("publish"),
    )
    heard = SimpleNamespace(retain=False, topic="stations/1/reports", mid=1, qos=1)
    mqtt.Listener("mqtt://127.0.0.1", "5", print)._heard(client, None, heard)
    assert done == ["disconnect"]
