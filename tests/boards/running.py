"""A board as a test has it: it can be run, cut off at any step, and asked what became of its readings."""

import json
import os
import sqlite3
import subprocess
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from tests.services import LiveHub


@dataclass(frozen=True)
class Program:
    """How a program is started; it runs until the board sleeps."""

    command: list[str]
    env: dict[str, str] = field(default_factory=dict)


@dataclass
class Board:
    """A program in a folder of its own."""

    program: Program
    folder: Path
    hub: LiveHub
    station: int
    key: str
    said: str = ""

    def run(self, die_at: int = 0) -> bool:
        """Wake it once; ``die_at`` cuts its power at that step. Whether it got to sleep."""
        env = os.environ | self.program.env | {"DIE_AT": str(die_at)}
        ran = subprocess.run(
            self.program.command,
            cwd=self.folder,
            env=env,
            capture_output=True,
            text=True,
            timeout=60,
            start_new_session=True,
        )
        self.said += ran.stdout + ran.stderr
        assert ran.returncode == 0 or die_at, ran.stderr
        return ran.returncode == 0

    def patient(self) -> None:
        """Let the time pass for which it waits after a failure."""
        (self.folder / "put_off").unlink(missing_ok=True)

    def forget_the_time(self) -> None:
        """A power cut also stops the clock."""
        (self.folder / "rtc").unlink(missing_ok=True)

    @property
    def waiting(self) -> list[str]:
        """The files it still keeps."""
        return sorted(path.name for path in (self.folder / "kept").iterdir())

    @property
    def handed_out(self) -> int:
        """Readings that its sensor gave: 1, 2, 3 ..."""
        return int((self.folder / "handed_out").read_text())

    @property
    def written(self) -> set[int]:
        """Those of them that reached the flash whole."""
        return {int(line) for line in (self.folder / "written").read_text().split()}

    def stored(self) -> list[tuple[int, int]]:
        """Time and value of each observation the hub has, as often as it has it."""
        return stored_at(self.hub, self.station)

    def must_have_told_all(self) -> None:
        """Nothing written was lost, and nothing came twice."""
        times_stored = Counter(value for _, value in self.stored())
        lost = self.written - set(times_stored)
        assert not lost, f"lost {sorted(lost)} of {self.handed_out}"
        twice = {value: times for value, times in times_stored.items() if times > 1}
        assert not twice, f"stored more than once: {twice}"
        assert set(times_stored) <= set(range(1, self.handed_out + 1))


def stored_at(hub: LiveHub, station: int) -> list[tuple[int, int]]:
    """Time and value of each observation of rain that a hub has of a station, as often as it has it."""
    with sqlite3.connect(f"file:{hub.data / 'hub.sqlite3'}?mode=ro", uri=True) as database:
        found = database.execute(
            "SELECT body FROM network_report WHERE station_id = ? AND problem = ''", [station]
        ).fetchall()
    return [(one["time"], int(one["rain"])) for (body,) in found for one in json.loads(body)]
