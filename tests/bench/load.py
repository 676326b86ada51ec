"""Load: requests over kept connections to a server that answers with a Content-Length, as fast as it can."""

import selectors
import socket
import time
from collections.abc import Iterator

CONNECTIONS = 8


def post(path: str, key: str, body: bytes) -> bytes:
    """The bytes of one request with a device key."""
    head = f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: Bearer {key}\r\n"
    head += f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
    return head.encode() + body


class Connection:
    """One kept connection with one request under way."""

    def __init__(self, port: int) -> None:
        self.socket = socket.create_connection(("127.0.0.1", port))
        self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self.heard = b""

    def ask(self, request: bytes) -> None:
        self.heard = b""
        self.socket.sendall(request)

    def hear(self) -> int:
        """Take in what there is; the status once the answer is whole, else 0."""
        part = self.socket.recv(65536)
        if not part:
            raise ConnectionError(f"The server hung up in the middle of an answer: {self.heard[:200]!r}")
        self.heard += part
        head, parted, body = self.heard.partition(b"\r\n\r\n")
        length = head.lower().partition(b"content-length: ")[2].partition(b"\r\n")[0]
        return int(head[9:12]) if parted and len(body) >= int(length) else 0


def answered(port: int, requests: Iterator[bytes], lasting: float) -> float:
    """Requests answered with 202 each second over about ``lasting`` [s]; any other answer is an error."""
    ready, done = selectors.DefaultSelector(), 0
    connections = [Connection(port) for _ in range(CONNECTIONS)]
    for one in connections:
        one.ask(next(requests))
        ready.register(one.socket, selectors.EVENT_READ, one)
    began = time.perf_counter()
    under_way = len(connections)
    while under_way:
        for found, _ in ready.select():
            one = found.data
            status = one.hear()
            if not status:
                continue
            if status != 202:
                raise RuntimeError(f"Answered {one.heard[:600]!r}")
            done += 1
            if time.perf_counter() - began < lasting:
                one.ask(next(requests))
            else:
                ready.unregister(one.socket)
                one.socket.close()
                under_way -= 1
    return done / (time.perf_counter() - began)
