"""A program running beside the tests: started, waited for, ended, or killed as a power cut would."""

import os
import signal
import socket
import subprocess
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Running:
    """A program in the background, with all it starts, and the file that takes down what it says."""

    process: subprocess.Popen[bytes]
    log: Path

    def wait_until(self, ready: Callable[[], bool], seconds: float = 60) -> None:
        """Return once ``ready``; raise with the program's own last words when it ended or took too long."""
        deadline = time.monotonic() + seconds
        while not ready():
            if self.process.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(
                    f"{self.process.args!r} did not get ready. It said:\n{self.said()[-4000:]}"
                )
            time.sleep(0.02)

    def said(self) -> str:
        """All it has printed so far."""
        return self.log.read_text(errors="replace")

    def end(self, how: signal.Signals = signal.SIGTERM, seconds: float = 15) -> None:
        """Ask it to finish; after ``seconds``, or when it leaves children behind, kill what is left."""
        self.process.send_signal(how)
        with suppress(subprocess.TimeoutExpired):
            self.process.wait(seconds)
        self.kill()

    def kill(self) -> None:
        """End it and its children at once, with no chance to tidy up."""
        with suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()


@contextmanager
def background(
    command: Sequence[str],
    log: Path,
    *,
    stop: signal.Signals = signal.SIGTERM,
    cwd: str | Path | None = None,
    env: Mapping[str, str] | None = None,
    account: Mapping[str, Any] | None = None,
) -> Iterator[Running]:
    """Run a program for as long as the block lasts; ``account`` says as whom, if not as ourselves."""
    with log.open("ab") as output:
        process = subprocess.Popen(
            command,
            cwd=cwd,
            env=env,
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=subprocess.STDOUT,
            start_new_session=True,
            **(account or {}),
        )
    running = Running(process, log)
    try:
        yield running
    finally:
        running.end(stop)


def free_port() -> int:
    """A loopback port nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port
