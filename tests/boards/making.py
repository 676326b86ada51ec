"""How each program is made into something that runs here."""

import shutil
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
    for gap in (": 0,", ", 0)", " 0  #"):
        filled = filled.replace(f'"rain"{gap}', f'"rain"{gap.replace("0", ask)}')
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


MAKERS = {"cpython": cpython, "micropython": micropython}
