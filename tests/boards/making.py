"""How each program is made into something that runs here."""

import re
import shutil
import subprocess
import sys
from pathlib import Path

from stations.models import Channel, Instrument
from stations.programs import KINDS, program
from tests.boards.running import Program
from tests.services import lacking

HERE = Path(__file__).parent
EVERY = 1
"""[s] The program's time from report to report, which here passes in no time."""


def text(kind: str, address: str, key: str, ask: str) -> str:
    """The program as its keeper copies it, with a sensor that gives what ``ask`` says."""
    rain = Channel(name="rain", unit="mm", instrument=Instrument(variable="rain_amount"))
    filled = program(KINDS[kind], address, key, [rain], EVERY).text
    filled = re.sub(r"(rain\W+)0\b", lambda found: found[1] + ask, filled)
    assert ask in filled
    return filled


def cpython(address: str, key: str, folder: Path) -> Program:
    """MicroPython's program under the Python of these tests."""
    (folder / "main.py").write_text(text("micropython", address, key, "sensor()"))
    return Program([sys.executable, "-I", str(HERE / "board.py"), "main.py"])


def micropython(address: str, key: str, folder: Path) -> Program:
    """The same under MicroPython itself, in the form it has for a computer."""
    program = Path(sys.executable).parent / "micropython"
    if not program.exists():
        lacking("MicroPython", package="nothing: it comes with requirements-dev.lock")
    (folder / "main.py").write_text(text("micropython", address, key, "sensor()"))
    return Program([str(program), str(HERE / "board.py"), "main.py"])


def shell(address: str, key: str, folder: Path) -> Program:
    """The shell's program under dash, with commands that take their steps and a machine that starts anew."""
    for needed in ("dash", "curl"):
        shutil.which(needed) or lacking(needed, package=needed)
    filled = text("shell", address, key, '"$(sensor)"')
    filled = filled.replace("/proc/uptime", "uptime").replace("/proc/sys/kernel/random/boot_id", "rtc")
    (folder / "station.sh").write_text(filled)
    steps = folder / "steps"
    steps.mkdir()
    for name in ("mv", "rm", "curl", "cut", "cat", "sleep", "sensor"):
        (steps / name).symlink_to(HERE / "step.sh")
    return Program(["sh", str(HERE / "machine.sh")])


def cpp(address: str, key: str, folder: Path) -> Program:
    """The C++ program, compiled for this computer against stand-ins for the board's libraries."""
    compiler = shutil.which("g++") or lacking("g++", package="g++")
    (folder / "station.ino").write_text(text("cpp", address, key, "sensor()"))
    made = folder / "station"
    strict = ["-std=c++17", "-O1", "-Wall", "-Wextra", "-Werror", "-DESP32", "-include", "Arduino.h"]
    source = ["-x", "c++", str(folder / "station.ino"), str(HERE / "arduino" / "board.cpp")]
    command = [compiler, *strict, "-I", str(HERE / "arduino"), *source, "-o", str(made)]
    compiled = subprocess.run(command, capture_output=True, text=True, timeout=120)
    assert compiled.returncode == 0, compiled.stderr
    return Program([str(made)])


MAKERS = {"cpython": cpython, "micropython": micropython, "cpp": cpp, "shell": shell}
