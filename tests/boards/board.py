"""A board that runs the MicroPython program, under CPython or MicroPython: python board.py PROGRAM

It knows the time only since the hub told it, its files are torn by a power cut in the middle of a write, and
the cut comes at the step that DIE_AT names. One run lasts until the board sleeps.
"""

import os
import socket
import sys
import time

BORN = 1000  # what an unset clock shows
die_at = int(os.getenv("DIE_AT") or "0")
steps = 0
real_open, real_os, real_time = open, os, time


def step():
    """One step further; at the chosen one everything ends at once."""
    global steps
    steps += 1
    if steps == die_at:
        os.system("kill -9 $PPID")


def noted(name, default=0):
    try:
        with real_open(name) as file:
            return int(file.read() or default)
    except OSError:
        return default


def note(name, number):
    with real_open(name, "w") as file:
        file.write(str(number))


def sensor():
    """Gives 1, 2, 3 and so on, each once, as a gauge that is emptied each time."""
    note("handed_out", noted("handed_out") + 1)
    return noted("handed_out")


class File:
    """A file whose writes come in two halves."""

    def __init__(self, name, mode="r"):
        step()
        self.name, self.mode, self.file = name, mode, real_open(name, mode)

    def __enter__(self):
        return self

    def __exit__(self, *problem):
        self.file.close()
        if "a" in self.mode:
            with real_open("written", "a") as log:
                log.write(str(noted("handed_out")) + "\n")
        step()

    def __iter__(self):
        return iter(self.file)

    def read(self):
        return self.file.read()

    def write(self, text):
        for part in (text[: len(text) // 2], text[len(text) // 2 :]):
            self.file.write(part)
            self.file.flush()
            step()


class Os:
    """The board's files."""

    listdir, stat, mkdir, urandom = os.listdir, os.stat, os.mkdir, os.urandom

    @staticmethod
    def rename(old, new):
        step()
        real_os.rename(old, new)
        step()

    @staticmethod
    def remove(name):
        step()
        real_os.remove(name)
        step()


class Line:
    """A connection with the words that MicroPython's have."""

    def __init__(self, family):
        self.line = socket.socket(family)
        self.stream = None

    def settimeout(self, seconds):
        self.line.settimeout(seconds)

    def connect(self, address):
        step()
        self.line.connect(address)
        self.stream = self.line.makefile("rb")

    def write(self, sent):
        step()
        self.line.sendall(sent)
        step()

    def readline(self):
        step()
        return self.stream.readline()

    def read(self, most):
        step()
        return self.stream.read(most)

    def close(self):
        self.line.close()


class Socket:
    socket, getaddrinfo = Line, socket.getaddrinfo


class Time:
    """A clock that the hub sets; file rtc says by how much, and power keeps it."""

    gmtime, sleep = time.gmtime, staticmethod(lambda seconds: None)
    ticks_ms = staticmethod(lambda: 0)
    ticks_diff = staticmethod(lambda later, earlier: 0)

    @staticmethod
    def time():
        return int(real_time.time()) + noted("rtc", BORN - noted("began_at"))


class Rtc:
    def datetime(self, when):
        year, month, day, _, hour, minute, second, _ = when
        step()
        days = (
            (year - 1970) * 365
            + (year - 1969) // 4
            + sum((31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30)[: month - 1])
        )
        days += day - 1 + (month > 2 and year % 4 == 0)
        note("rtc", days * 86400 + hour * 3600 + minute * 60 + second - int(real_time.time()))


def asleep(milliseconds):
    raise SystemExit


class Machine:
    RTC, deepsleep = Rtc, staticmethod(asleep)


class Wlan:
    def __init__(self, kind):
        pass

    def active(self, on):
        pass

    def isconnected(self):
        step()
        return True


class Network:
    STA_IF, WLAN = 0, Wlan


if not noted("began_at"):
    note("began_at", int(real_time.time()))
sys.modules.update(machine=Machine, network=Network, socket=Socket, os=Os, time=Time)
with real_open(sys.argv[1]) as text:
    exec(text.read(), {"open": File, "sensor": sensor, "__name__": "__main__"})
