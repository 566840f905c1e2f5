"""The server: on this machine alone, quiet, until it is told to stop."""

from __future__ import annotations

import asyncio
import signal
import socket
import threading
from collections.abc import Callable, Sequence
from types import FrameType

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from glazecalc.errors import GlazeError
from glazecalc.workbench.guard import SAFE_HEADERS, App, tell

__all__ = ("LOOPBACK", "end_well", "listening", "serve")

LOOPBACK = "127.0.0.1"
_MOST_HEADER_BYTES = 32_768  # what the server reads of a request before it is one; this program's own choice
# Lines open at a time, and how long one may stay without a whole request; this program's own choice.
_MOST_LINES, _LONGEST_WAIT_S = 64, 10.0
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
    """HTTP as the server reads it; what is none gets the headers of every answer too, and nobody holds a line without asking something."""

    _over = False  # it was no request: nothing more is read as one
    _looked_at: object = None  # what the line was waiting with when it was last looked at
    _clock: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take a line; where there are too many, the one that has waited longest without a whole request gives way."""
        super().connection_made(transport)
        self._begun = self.loop.time()
        self._clock = self.loop.call_later(_LONGEST_WAIT_S, self._look)
        if len(self.connections) > _MOST_LINES:
            idle = [one for one in self.connections if isinstance(one, _Protocol) and one.waits]
            gone = min(idle, key=lambda one: one._begun, default=self)
            self.connections.discard(gone)  # or the next one would choose it again
            gone.transport.abort()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget the line."""
        if self._clock is not None:
            self._clock.cancel()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Read on."""
        if not self._over:
            super().data_received(data)

    @property
    def waits(self) -> bool:
        """Whether it is the other end's turn: to send a request, the rest of one, or to take an answer."""
        cycle = self.cycle
        return cycle is None or cycle.response_complete or cycle.more_body or self.flow.write_paused

    def _look(self) -> None:
        """Hang up where the other end has done nothing whole since one looked last."""
        now = (self.cycle,) if self.waits else None
        if now is not None and now == self._looked_at:
            self.transport.abort()
            return
        self._looked_at = now
        self._clock = self.loop.call_later(_LONGEST_WAIT_S, self._look)

    def shutdown(self) -> None:
        """End with the server."""
        if self._over:
            self.transport.close()
        else:
            super().shutdown()

    def send_400_response(self, msg: str) -> None:
        """Answer what cannot be read as a request, and hang up."""
        pairs = ((b"content-type", b"text/plain; charset=utf-8"), (b"connection", b"close"), *SAFE_HEADERS)
        head = b"".join(b"%s: %s\r\n" % pair for pair in pairs)
        self.transport.write(b"HTTP/1.1 400 Bad Request\r\n" + head + b"\r\n" + msg.encode("ascii", "replace"))
        self._over = True
        self.transport.write_eof()
        self.loop.call_later(
            _LONGEST_GOODBYE_S, self.transport.close
        )  # at once, what is still being sent would cut the answer off


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
        backlog=32,  # how many lines are taken before one of them is looked at
    )
    server = uvicorn.Server(config)

    def stop(_signal: int, _frame: FrameType | None) -> None:
        server.should_exit = True

    for one in (signal.SIGINT, signal.SIGTERM):  # the server puts its own in their place, and these back at the end
        signal.signal(one, stop)
    threading.Thread(target=on_start, daemon=True).start()
    asyncio.run(_served(server, waiting))


async def _served(server: uvicorn.Server, waiting: Sequence[socket.socket]) -> None:
    asyncio.get_running_loop().set_exception_handler(lambda _, told: tell(told.get("exception") or told["message"]))
    await server.serve(sockets=list(waiting))
