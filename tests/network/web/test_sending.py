"""The page for whoever programs a board: its sketches do what they say."""

import html
import re
import shutil
import subprocess
import types
from pathlib import Path

import pytest
from django.core.cache import caches
from django.test import Client

from network.models import Report
from stations.models import DeviceKey
from tests.network.made_village import found_village, settle_station
from tests.services import lacking

SWITCHED_ON = 1748736000
"""[UTC epoch s] When the board starts: a day in June 2025."""

STUBS = """
#pragma once
#include <cstdint>
#include <cstring>
#include <string>
#include <algorithm>
using std::min;
struct String : std::string {
  using std::string::string;
  String(const char* s) : std::string(s) {}
  String(const std::string& s) : std::string(s) {}
  explicit String(unsigned long n) : std::string(std::to_string(n)) {}
  explicit String(unsigned int n) : std::string(std::to_string(n)) {}
  String(float v, int) : std::string(std::to_string(v)) {}
};
uint32_t millis();
void delay(uint32_t);
struct { void begin(int); void println(int); } Serial;
struct { void begin(const char*, const char*); void setAutoReconnect(bool); bool isConnected(); } WiFi;
struct HTTPClient {
  void begin(const char*); void addHeader(const char*, const char*);
  void setTimeout(int); int POST(const String&); void end();
};
"""


def sketch(opening: str) -> str:
    """The sketch on the page that begins so, as it is copied."""
    page = Client().get("/sending/").content.decode()
    found = [html.unescape(code) for code in re.findall(r'class="sketch"><code>(.*?)</code>', page, re.S)]
    return next(code for code in found if code.startswith(opening))


def test_the_page_names_every_refusal_and_limit() -> None:
    words = Client().get("/sending/").content.decode()
    for word in ("202", "400", "401", "403", "413", "422", "429", "1000 kB", "10000 readings", "Retry-After"):
        assert word in words


class Board:
    """A board of which time passes only when it sleeps, and whose Wi-Fi is away at first."""

    def __init__(self, key: str, away_until: int, stop_at: int) -> None:
        self.now, self.key, self.away_until, self.stop_at = 0, key, away_until, stop_at
        self.sizes: list[int] = []
        self.tries: list[int] = []

    def sleep(self, seconds: float) -> None:
        self.now += round(seconds * 1000)
        if self.now > self.stop_at * 1000:
            raise KeyboardInterrupt

    def post(self, address: str, json: list, headers: dict, timeout: int) -> types.SimpleNamespace:
        self.tries.append(self.now // 1000)
        if self.now < self.away_until * 1000:
            raise OSError("no route")
        self.sizes.append(len(json))
        headers = {"Authorization": headers["Authorization"].replace("YOUR-KEY", self.key)}
        answer = Client().post("/api/reports", json, content_type="application/json", headers=headers)
        return types.SimpleNamespace(
            status_code=answer.status_code, text=answer.content.decode(), close=lambda: None
        )

    def modules(self) -> dict[str, types.SimpleNamespace]:
        """Stand-ins for the board's modules."""
        wifi = types.SimpleNamespace(active=lambda on: None, isconnected=lambda: True)
        return {
            "network": types.SimpleNamespace(WLAN=lambda kind: wifi, STA_IF=0),
            "requests": types.SimpleNamespace(post=self.post),
            "time": types.SimpleNamespace(
                ticks_ms=lambda: self.now % 2**30,
                ticks_diff=lambda later, earlier: (later - earlier + 2**29) % 2**30 - 2**29,
                sleep=self.sleep,
            ),
        }


def test_the_micropython_sketch_keeps_what_it_could_not_send_and_backs_off(
    db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    caches["near"].clear()
    station = settle_station(found_village(), "Mill")
    _, key = DeviceKey.issue(station)
    board = Board(key, away_until=3600, stop_at=2 * 3600)
    hub_clock = types.SimpleNamespace(time=lambda: SWITCHED_ON + board.now / 1000)
    monkeypatch.setattr("network.web.intake.time", hub_clock)
    code = sketch("import network").replace("import network, requests, time\n", "")
    with pytest.raises(KeyboardInterrupt):
        exec(compile(code, "sketch", "exec"), dict(board.modules()))
    # An observation every five minutes for two hours, none lost: 0, 300 ... 7200 s.
    assert sum(board.sizes) == 25
    assert board.sizes[0] > 12  # what gathered in the hour without Wi-Fi went in one report
    times = [
        at for report in Report.objects.order_by("received_at") for at in (report.first_at, report.last_at)
    ]
    assert times[0] == SWITCHED_ON and times[-1] == pytest.approx(SWITCHED_ON + 7200, abs=2)
    assert times == sorted(times)
    waits = [b - a for a, b in zip(board.tries, board.tries[1:], strict=False) if b < 3600]
    assert waits == sorted(waits) and waits[-1] > 8 * waits[0]


def test_the_cpp_sketch_compiles(tmp_path: Path) -> None:
    if shutil.which("g++") is None:
        lacking("g++", package="g++")
    for header in ("WiFi.h", "HTTPClient.h"):
        (tmp_path / header).write_text(STUBS)
    source = tmp_path / "sketch.cpp"
    source.write_text(sketch("#include"))
    made = subprocess.run(
        ["g++", "-std=c++17", "-Wall", "-Wextra", "-fsyntax-only", "-I", str(tmp_path), str(source)],
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert made.returncode == 0, made.stderr
