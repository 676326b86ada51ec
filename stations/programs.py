"""Programs for boards, filled in with a station's channels, the address and, on the one page that has it, the key."""

import json
import shlex
from collections.abc import Sequence
from dataclasses import dataclass

from django.template.loader import render_to_string

from network.science.units import UnknownUnit, sign
from network.science.variables import VARIABLES
from stations.calibrating import RAW
from stations.models import Channel
from stations.sending import example

NO_KEY = "YOUR-KEY"
"""What stands for the key wherever the key itself is not known."""


@dataclass(frozen=True)
class Kind:
    """One kind of program: its name in addresses, what it is for, its file and template."""

    name: str
    words: str
    file: str
    template: str


KINDS = {
    kind.name: kind
    for kind in (
        Kind("micropython", "MicroPython", "main.py", "boards/micropython.py.txt"),
        Kind(
            "cpp",
            "C++ for boards with WiFi.h, HTTPClient.h and LittleFS.h",
            "station.ino",
            "boards/cpp.ino.txt",
        ),
        Kind("shell", "Shell, for a Linux board with curl", "station.sh", "boards/shell.sh.txt"),
    )
}


@dataclass(frozen=True)
class Program:
    """A program ready to be copied."""

    kind: Kind
    text: str


@dataclass(frozen=True)
class Said:
    """A channel as a program names it: its name quoted for each language, an ordinary value, what it is."""

    python: str
    cpp: str
    shell: str
    value: str
    words: str


TYPICAL = (
    Said('"temp"', r'"\"temp\""', "'\"temp\"'", "7.4", "air temperature in °C"),
    Said('"hum"', r'"\"hum\""', "'\"hum\"'", "81", "relative humidity in %"),
)
"""Channels of nobody's station, for the page that shows programs to all."""


def program(kind: Kind, address: str, key: str, channels: Sequence[Channel], every: int) -> Program:
    """One program for a station that has these channels and reports every so many seconds."""
    values = example(list(channels))
    raw = any(channel.unit in RAW for channel in channels)
    return _filled(
        kind, address, key, [_said(channel, values[channel.name]) for channel in channels], every, not raw
    )


def typical(kind: Kind, address: str) -> Program:
    """One program for nobody's station."""
    return _filled(kind, address, NO_KEY, TYPICAL, 300, True)


def _filled(
    kind: Kind, address: str, key: str, channels: Sequence[Said], every: int, sleeps: bool
) -> Program:
    quote = shlex.quote if kind.name == "shell" else json.dumps
    asked = {
        "address": quote(address),
        "key": quote(key),
        "channels": channels,
        "every": every,
        "sleeps": sleeps,
    }
    return Program(kind, render_to_string(kind.template, asked).lstrip("\n"))


def _said(channel: Channel, value: float) -> Said:
    # A name travels as a JSON string; C++ and the shell copy it out as it stands, quotes and all.
    name = json.dumps(channel.name, ensure_ascii=False)
    unit = _unit(channel)
    words = VARIABLES[channel.instrument.variable].words + (f" {unit}" if unit else "")
    return Said(name, json.dumps(name, ensure_ascii=False), shlex.quote(name), f"{value:g}", words)


def _unit(channel: Channel) -> str:
    if channel.unit in RAW:
        return (
            "as pulses or counts since the last report" if channel.unit == "count" else "in pulses a second"
        )
    try:
        return f"in {sign(channel.unit)}"
    except UnknownUnit:
        return ""
