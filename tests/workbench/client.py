"""A small client for ASGI: it sends an address as it stands, dots and escapes and all, which clients for HTTP tidy up first."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import unquote, urlencode

__all__ = ("Answer", "Client")


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    pairs: tuple[tuple[str, str], ...]
    content: bytes

    @property
    def headers(self) -> dict[str, str]:
        return dict(self.pairs)

    @property
    def text(self) -> str:
        return self.content.decode("utf-8")


class Client:
    """One browser: it keeps its cookies."""

    def __init__(self, app: Any, host: str) -> None:
        self.app, self.host, self.cookies = app, host, {}

    def send(
        self,
        method: str,
        address: str,
        *,
        form: Mapping[str, str] | None = None,
        body: bytes | Iterable[bytes] = b"",
        headers: Mapping[str, str] | Iterable[tuple[str, str]] = (),
    ) -> Answer:
        """Send one request; `body` may come in pieces."""
        raw_path, _, query = address.partition("?")
        given = list(headers.items()) if isinstance(headers, Mapping) else list(headers)
        names = {name for name, _ in given}
        if form is not None:
            body = urlencode(form).encode()
            given.append(("content-type", "application/x-www-form-urlencoded"))
        if "host" not in names:
            given.append(("host", self.host))
        if self.cookies and "cookie" not in names:
            given.append(("cookie", "; ".join(f"{name}={value}" for name, value in self.cookies.items())))
        pieces = [body] if isinstance(body, bytes) else list(body)
        if isinstance(body, bytes) and body and "content-length" not in names:
            given.append(("content-length", str(len(body))))
        scope = {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": method,
            "scheme": "http",
            "path": unquote(raw_path),
            "raw_path": raw_path.encode("ascii", "replace"),
            "query_string": query.encode("ascii", "replace"),
            "root_path": "",
            "headers": [(name.lower().encode("latin-1"), value.encode("latin-1")) for name, value in given],
            "client": ("127.0.0.1", 50000),
            "server": ("127.0.0.1", 80),
        }
        answer = asyncio.run(self._asked(scope, pieces))
        for name, value in answer.pairs:
            if name == "set-cookie":
                key, _, kept = value.partition(";")[0].partition("=")
                self.cookies[key] = kept
        return answer

    async def _asked(self, scope: dict[str, Any], pieces: list[bytes]) -> Answer:
        waiting = [
            {"type": "http.request", "body": piece, "more_body": n + 1 < len(pieces)} for n, piece in enumerate(pieces)
        ]
        sent: list[Any] = []

        async def receive() -> Any:
            return waiting.pop(0) if waiting else {"type": "http.disconnect"}

        async def send(message: Any) -> None:
            sent.append(message)

        await self.app(scope, receive, send)
        start, *rest = sent
        pairs = tuple((name.decode("latin-1").lower(), value.decode("latin-1")) for name, value in start["headers"])
        return Answer(start["status"], pairs, b"".join(part.get("body", b"") for part in rest))
