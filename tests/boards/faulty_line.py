"""A line between a board and the hub on which things go amiss, one request after the other, as one wishes."""

import socket
import socketserver
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from urllib.parse import urlsplit

FAULTS = ("cut", "half", "swallowed", "torn", "unwell", "nonsense", "slow", "retry", "refused")
"""What may befall a request; ``well`` is none of them."""

UNWELL = b"HTTP/1.0 503 Service Unavailable\r\nContent-Length: 4\r\nRetry-After: 7\r\n\r\nsick"

STRANGE = b"HTTP/1.0 400 Bad Request\r\n\r\n<h1>Bad Request</h1>"
"""The refusal of somebody on the way, who keeps nothing."""


@dataclass
class Line:
    """Where the board believes the hub to be, and what is to befall its next requests; afterwards all is well."""

    address: str
    to_come: list[str] = field(default_factory=list)
    met: list[str] = field(default_factory=list)


@contextmanager
def faulty_line(hub: str) -> Iterator[Line]:
    """A line to the hub at an address, for as long as the block lasts."""
    target = urlsplit(hub)

    class Handler(socketserver.BaseRequestHandler):
        def handle(self) -> None:
            request = _whole(self.request)
            fault = line.to_come.pop(0) if line.to_come else "well"
            line.met.append(fault)
            self.request.sendall(_answer(fault, request, (target.hostname, target.port)))

    with socketserver.ThreadingTCPServer(("127.0.0.1", 0), Handler) as server:
        server.daemon_threads = True
        line = Line(f"http://127.0.0.1:{server.server_address[1]}")
        threading.Thread(target=server.serve_forever, args=(0.01,), daemon=True).start()
        yield line
        server.shutdown()


def _answer(fault: str, request: bytes, hub: tuple[str | None, int | None]) -> bytes:
    """What comes back over the line."""
    if fault == "cut" or not request:
        return b""
    if fault == "unwell":
        return UNWELL
    if fault == "refused":
        return STRANGE
    if fault == "nonsense":
        return b"<html>Sign in to the guest network</html>"
    request = request.replace(b"\r\n\r\n", b"\r\nConnection: close\r\n\r\n", 1)
    with socket.create_connection(hub, timeout=20) as beyond:
        if fault == "half":
            beyond.sendall(request[: -len(request) // 2])
            return b""
        beyond.sendall(request)
        answer = b"".join(iter(lambda: beyond.recv(65536), b""))
    # The hub has it, but the board does not get to know, or only barely.
    return {"swallowed": b"", "torn": answer[:10], "slow": answer[:40], "retry": UNWELL}.get(fault, answer)


def _whole(line: socket.socket) -> bytes:
    """A request with all its body; as much as came, where the board breaks off."""
    received = b""
    while True:
        head, end, body = received.partition(b"\r\n\r\n")
        size = next((int(h[15:]) for h in head.split(b"\r\n") if h.lower().startswith(b"content-length:")), 0)
        if end and len(body) >= size:
            return received
        more = line.recv(65536)
        if not more:
            return b""
        received += more
