"""One process that serves the pages and, without a broker, works through the ledger too."""

import signal
from collections.abc import Callable
from contextlib import AbstractContextManager, ExitStack, nullcontext

from django.conf import settings
from waitress.server import create_server

from network.pipeline import embedded
from network.wsgi import application

THREADS = 6
CONNECTIONS = 1000  # idle ones are cheap, and end after half a minute

Beside = Callable[[str], AbstractContextManager[None]]


class CannotServe(RuntimeError):
    """The port is taken, or another process runs this hub's worker; the sentence says which."""


def serve(
    host: str, port: int, say: Callable[[str], None], beside: Beside = lambda address: nullcontext()
) -> None:
    """Serve until Ctrl-C or SIGTERM; ``beside`` runs along, told the address. Raises CannotServe."""
    address = f"http://{host}:{port}/"
    with ExitStack() as stack:
        try:
            server = create_server(
                application,
                host=host,
                port=port,
                threads=THREADS,
                connection_limit=CONNECTIONS,
                channel_timeout=30,
            )
            stack.callback(server.close)
            if settings.EMBEDDED:
                stack.enter_context(embedded.running())
        except (OSError, embedded.AlreadyRunning) as error:
            raise CannotServe(f"Cannot serve on port {port}: {error}") from error
        # Not by SIGINT: a shell that puts a program into the background has it ignore that.
        signal.signal(signal.SIGTERM, signal.default_int_handler)
        say(f"ready {address}")
        stack.enter_context(beside(address))
        try:
            server.run()
        except KeyboardInterrupt:
            say("stopped")
