"""The lines of the server: nobody holds one without asking something whole, and what is no request gets its answer."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from contextlib import suppress
from typing import Any

import pytest

from tests.workbench import bench as _bench  # noqa: F401 - skips this file where uvicorn is missing

import uvicorn  # isort: skip
from uvicorn.server import ServerState  # isort: skip

from glazecalc.workbench import server  # isort: skip

WHOLE = b"GET / HTTP/1.1\r\nHost: a\r\n\r\n"
HALF = b"GET / HTTP/1.1\r\nHost: a\r\n"
Say = Callable[[bytes], Awaitable[asyncio.StreamReader]]


async def hello(scope: Any, _receive: Any, send: Any) -> None:
    if scope["path"] == "/slow":
        await asyncio.sleep(0.6)
    await send({"type": "http.response.start", "status": 200, "headers": [(b"content-length", b"5")]})
    await send({"type": "http.response.body", "body": b"hello"})


def at_the_server(asks: Callable[[Say], Awaitable[None]]) -> None:
    """Let `asks` talk to lines of the workbench's own kind."""

    writers: list[asyncio.StreamWriter] = []

    async def said(port: int, data: bytes) -> asyncio.StreamReader:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        writers.append(writer)
        writer.write(data)
        with suppress(ConnectionError):
            await writer.drain()
        return reader

    async def both() -> None:
        config = uvicorn.Config(hello, log_config=None, log_level="critical", h11_max_incomplete_event_size=32_768)
        config.load()
        state = ServerState()
        lines = await asyncio.get_running_loop().create_server(
            lambda: server._Protocol(config=config, server_state=state, app_state={}), "127.0.0.1", 0
        )
        async with lines:
            try:
                port = lines.sockets[0].getsockname()[1]
                await asks(lambda data: said(port, data))
            finally:
                for writer in writers:
                    writer.close()
                    with suppress(ConnectionError):
                        await writer.wait_closed()

    asyncio.run(asyncio.wait_for(both(), 20))


async def rest(reader: asyncio.StreamReader) -> bytes:
    try:
        return await reader.read()
    except ConnectionError:
        return b""


@pytest.mark.parametrize(
    "data", [b"", HALF, b"POST / HTTP/1.1\r\nHost: a\r\nContent-Length: 10\r\nExpect: 100-continue\r\n\r\nx"]
)
def test_a_line_without_a_whole_request_is_hung_up(monkeypatch: pytest.MonkeyPatch, data: bytes):
    monkeypatch.setattr(server, "_LONGEST_WAIT_S", 0.1)

    async def asks(said: Say) -> None:
        reader = await said(data)
        await asyncio.wait_for(rest(reader), 3)  # before the five seconds after which an idle line goes anyhow

    at_the_server(asks)


def test_an_answer_that_takes_its_time_is_waited_for(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(server, "_LONGEST_WAIT_S", 0.1)

    async def asks(said: Say) -> None:
        reader = await said(WHOLE.replace(b"/ ", b"/slow ", 1))
        assert (await reader.readuntil(b"hello")).startswith(b"HTTP/1.1 200 ")

    at_the_server(asks)


def test_where_there_are_too_many_lines_those_that_wait_give_way(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(server, "_MOST_LINES", 10)

    async def asks(said: Say) -> None:
        working = await said(WHOLE.replace(b"/ ", b"/slow ", 1))
        held = [await said(HALF) for _ in range(40)]
        asking = await said(WHOLE)
        for reader in (asking, working):
            assert (await reader.readuntil(b"hello")).startswith(b"HTTP/1.1 200 ")
        gone = sum(1 for reader in held if reader.at_eof() or reader.exception() is not None)
        assert gone >= 30

    at_the_server(asks)


def test_what_is_no_request_gets_its_answer_whole_however_long_it_is():
    async def asks(said: Say) -> None:
        reader = await said(b"GET / HTTP/1.1\r\nX: " + b"x" * 2_000_000)
        told = await reader.read()
        assert told.startswith(b"HTTP/1.1 400 ")
        assert told.count(b"HTTP/1.1") == 1
        assert b"default-src 'none'" in told

    at_the_server(asks)


def test_what_goes_wrong_between_requests_is_one_line(capsys: pytest.CaptureFixture[str]):
    class Broken:
        async def serve(self, **_given: object) -> None:
            asyncio.get_running_loop().call_soon(lambda: 1 / 0)
            await asyncio.sleep(0)
            await asyncio.sleep(0)

    asyncio.run(server._served(Broken(), ()))  # type: ignore[arg-type]
    told = capsys.readouterr().err
    assert told.startswith("glazecalc open: ZeroDivisionError: division by zero")
    assert told.count("\n") == 1
