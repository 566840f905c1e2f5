"""The server: on this machine alone, quiet, until it is told to stop."""

from __future__ import annotations

import asyncio
import signal
import socket
import threading
from collections.abc import Callable
from types import FrameType

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from glazecalc.errors import GlazeError
from glazecalc.workbench.guard import SAFE_HEADERS, App

__all__ = ("LOOPBACK", "end_well", "listening", "serve")

LOOPBACK = "127.0.0.1"
_MOST_HEADER_BYTES = 32_768  # what the server reads of a request before it is one; this program's own choice
_LONGEST_GOODBYE_S = 2  # for a page that is being made when the server is to stop


def listening(port: int = 0, host: str = LOOPBACK) -> socket.socket:
    """Return a socket that waits on this machine's own address, on a free port where `port` is 0; `host` is another address of it.

    Raises GlazeError where the port is taken or not allowed.
    """
    waiting = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if hasattr(socket, "SO_EXCLUSIVEADDRUSE"):  # else another program could listen beside us, on Windows
            waiting.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            waiting.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        waiting.bind((host, port))
        waiting.listen(128)
    except OSError as error:
        waiting.close()
        said = f"port {port} cannot be used: {error.strerror or error}."
        raise GlazeError(said, "Leave --port away, and a free one is taken.") from None
    return waiting


class _Protocol(H11Protocol):
    """HTTP as the server reads it; what is none gets the headers of every answer too."""

    def send_400_response(self, msg: str) -> None:
        """Answer what cannot be read as a request, and hang up."""
        pairs = ((b"content-type", b"text/plain; charset=utf-8"), (b"connection", b"close"), *SAFE_HEADERS)
        head = b"".join(b"%s: %s\r\n" % pair for pair in pairs)
        self.transport.write(b"HTTP/1.1 400 Bad Request\r\n" + head + b"\r\n" + msg.encode("ascii", "replace"))
        self.transport.close()


def end_well() -> None:
    """Let Ctrl-C, or a polite request to end, be no error from now on: the address is soon out, and whoever reads it may act at once."""
    for one in (signal.SIGINT, signal.SIGTERM):
        signal.signal(one, _end)


def _end(_signal: int, _frame: FrameType | None) -> None:
    raise SystemExit(0)


def serve(app: App, *waiting: socket.socket, on_start: Callable[[], None] = lambda: None) -> None:
    """Serve until Ctrl-C or a polite request to end; `on_start` is done aside, once it answers."""
    config = uvicorn.Config(
        app,
        http=_Protocol,
        ws="none",
        lifespan="off",
        log_config=None,
        log_level="critical",
        access_log=False,
        proxy_headers=False,
        server_header=False,
        h11_max_incomplete_event_size=_MOST_HEADER_BYTES,
        timeout_graceful_shutdown=_LONGEST_GOODBYE_S,
    )
    server = uvicorn.Server(config)

    def stop(_signal: int, _frame: FrameType | None) -> None:
        server.should_exit = True

    for one in (signal.SIGINT, signal.SIGTERM):  # the server puts its own in their place, and these back at the end
        signal.signal(one, stop)
    threading.Thread(target=on_start, daemon=True).start()
    asyncio.run(server.serve(sockets=list(waiting)))
