"""Who may ask, and how much: every request passes here first, and every answer leaves with the same headers.

The first address holds a secret word; it becomes a cookie, and the address without it is what stands in the browser. A request without word or cookie, with
another host's name, with a word that was used up, or a changing one that does not come from a page of this workbench, is refused.
"""

from __future__ import annotations

import hmac
import secrets
import threading
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qsl, urlencode

from glazecalc.workbench.lan import Phones, cookies_called

__all__ = ("LARGEST_BODY", "POLICY", "READING_ONLY", "SAFE_HEADERS", "WENT_WRONG", "Guard", "Passes", "Refusal", "tell")

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
SAFE_HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cache-control", b"no-store"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
)
# a browser heeds this one over https or on the machine itself alone, and complains of it elsewhere
_OVER_THE_NETWORK = tuple(pair for pair in SAFE_HEADERS if pair[0] != b"cross-origin-opener-policy")
WENT_WRONG = "Your files are as they were. Go back in the browser: what you typed is still there."
LARGEST_BODY = 1_200_000  # bytes: the longest card, every letter of it escaped; this program's own choice
_LONGEST_ADDRESS, _MOST_HEADER_BYTES = 4_000, 16_000  # this program's own choice
_READING = ("GET", "HEAD")
_LOOPBACK = "127.0.0.1"
READING_ONLY = "glazecalc.reading_only"
"""The mark in the scope of a request that may read and nothing else."""
_WORD, _CODE = "token", "code"


class Refusal(Exception):  # noqa: N818 - an answer rather than an error
    """A request that is answered with a page that says why not."""

    def __init__(self, status: int, title: str, text: str) -> None:
        super().__init__(title)
        self.status, self.title, self.text = status, title, text


@dataclass(slots=True)
class Passes:
    """The secrets of one run: the word in the first address, words that hold once, and the cookie that they become.

    The cookie's name holds the port: a browser sends the cookies of one host to all of its ports.
    """

    port: int
    word: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    _cookie: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    _once: set[str] = field(default_factory=set)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def word_for_once(self) -> str:
        """Return a word that opens the door one time: what other people of the machine can read of it is used up."""
        word = secrets.token_urlsafe(32)
        with self._lock:
            self._once.add(word)
        return word

    def opens(self, word: str) -> bool:
        """Whether a word of an address lets in; one for once does so no more."""
        if _same(word, self.word):
            return True
        with self._lock:
            used = next((known for known in self._once if _same(word, known)), None)
            self._once.discard(used or "")
        return used is not None

    @property
    def cookie_name(self) -> str:
        """The name of the cookie."""
        return f"glazecalc-{self.port}"

    def cookie_header(self) -> bytes:
        """Return the line that sets the cookie: for this host alone, not for scripts, not from other sites, until the browser closes."""
        return f"{self.cookie_name}={self._cookie}; Path=/; HttpOnly; SameSite=Strict".encode()

    def knows(self, cookies: str) -> bool:
        """Whether the cookies of a request hold ours."""
        return any(_same(value, self._cookie) for value in cookies_called(self.cookie_name, cookies))


class Guard:
    """An ASGI application around another one.

    `names` are the names of this machine that a request may call it by; `refused` makes the page of a refusal from its status, title and text. `phones` are
    those that may read, over this machine's address on the network, and `asks_code` makes the page that asks for their code, again after a wrong one.
    """

    def __init__(
        self,
        app: App,
        passes: Passes,
        refused: Callable[[int, str, str], bytes],
        names: Iterable[str] = ("127.0.0.1", "localhost"),
        phones: Phones | None = None,
        asks_code: Callable[[bool], bytes] = lambda _: b"",
    ) -> None:
        self._app, self._passes, self._refused = app, passes, refused
        self._phones, self._asks_code = phones, asks_code
        port = passes.port
        self._hosts = {f"{name}:{port}" for name in names} | ({*names} if port == 80 else set())

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or let the application do so."""
        if scope["type"] != "http":
            return
        answer = _Answer(send)
        try:
            await self._judged(scope, receive, answer)
        except Refusal as refusal:
            await self._say(answer, refusal)
        except Exception as error:  # noqa: BLE001 - whatever it is, it is told here and never on the page
            tell(error)
            await self._say(answer, Refusal(500, "Something went wrong here", WENT_WRONG))

    async def _judged(self, scope: Scope, receive: Receive, answer: _Answer) -> None:
        headers = _headers(scope)
        _refuse_what_is_too_long(scope)
        if self._phones is not None and scope["server"][0] != _LOOPBACK:
            await self._judged_phone(self._phones, scope, receive, answer, headers)
            return
        host = headers.get("host", "")
        if host.lower() not in self._hosts:
            raise Refusal(
                403,
                "Not under this name",
                "The workbench answers to the address that glazecalc printed, and to no other.",
            )
        query = _query(scope)
        words = [value for name, value in query if name == _WORD]
        known = self._passes.knows(headers.get("cookie", ""))
        let_in = bool(words) and self._passes.opens(words[0])
        if not (known or let_in):
            raise Refusal(
                403,
                "This address is not complete",
                "Open the whole address that glazecalc printed, with the word at its end.",
            )
        method = scope["method"]
        if method not in _READING and not _from_here(headers, host):
            raise Refusal(
                403, "Not from a page of the workbench", "Only the pages of this workbench may change something here."
            )
        if let_in:
            answer.more = ((b"set-cookie", self._passes.cookie_header()),)
        if words and method in _READING:
            rest = urlencode([pair for pair in query if pair[0] != _WORD])
            await _go_on(answer, scope, rest, headers)
            return
        await self._app(scope, await _whole(receive, headers), answer)

    async def _judged_phone(
        self, phones: Phones, scope: Scope, receive: Receive, answer: _Answer, headers: dict[str, str]
    ) -> None:
        """Judge what comes over the network: who has typed the code may read. The words and cookies of the machine itself open nothing here."""
        host, reads = headers.get("host", ""), scope["method"] in _READING
        answer.headers = _OVER_THE_NETWORK
        if host != f"{phones.address}:{phones.port}":
            raise Refusal(403, "Not under this name", "Open the address that glazecalc printed for a phone.")
        if not reads:
            told = "Cards and materials are changed at the machine where glazecalc runs."
            raise Refusal(403, "Only to read and to tick", told)
        if phones.knows(headers.get("cookie", "")):
            await self._app({**scope, READING_ONLY: True}, receive, answer)
            return
        typed = [value for name, value in _query(scope) if name == _CODE] if scope["method"] == "GET" else []
        cookie = phones.cookie_for(typed[0]) if typed else None
        if cookie is not None:
            await answer.whole(303, b"", ((b"location", b"/"), (b"set-cookie", cookie)))
            return
        await answer.whole(403, self._asks_code(bool(typed)), ((b"content-type", b"text/html; charset=utf-8"),))

    async def _say(self, answer: _Answer, refusal: Refusal) -> None:
        if answer.started:
            return
        page = self._refused(refusal.status, refusal.title, refusal.text)
        await answer.whole(refusal.status, page, ((b"content-type", b"text/html; charset=utf-8"),))


class _Answer:
    """The way out: each answer gets the headers that all have."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self.started = False
        self.more: tuple[tuple[bytes, bytes], ...] = ()
        self.headers: tuple[tuple[bytes, bytes], ...] = SAFE_HEADERS

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.started = True
            kept = [pair for pair in message.get("headers", ()) if pair[0].lower() not in dict(SAFE_HEADERS)]
            message["headers"] = [*kept, *self.headers, *self.more]
        await self._send(message)

    async def whole(self, status: int, body: bytes, headers: tuple[tuple[bytes, bytes], ...]) -> None:
        """Send an answer in one go."""
        counted = (b"content-length", str(len(body)).encode())
        await self({"type": "http.response.start", "status": status, "headers": [*headers, counted]})
        await self({"type": "http.response.body", "body": body})


def _refuse_what_is_too_long(scope: Scope) -> None:
    address = len(scope.get("raw_path") or scope["path"].encode()) + len(scope["query_string"])
    if address > _LONGEST_ADDRESS:
        raise Refusal(414, "The address is too long", "Go back and ask for less at once.")
    if sum(len(name) + len(value) for name, value in scope["headers"]) > _MOST_HEADER_BYTES:
        raise Refusal(431, "The request is too long", "Close the window, and open the address that glazecalc printed.")


def _same(given: str, known: str) -> bool:
    """Whether two secrets are one; how long it takes tells nothing."""
    return hmac.compare_digest(given.encode("utf-8", "surrogatepass"), known.encode())


def _headers(scope: Scope) -> dict[str, str]:
    """Return the headers by name; one that must stand once and stands twice is joined, and then fits nothing."""
    found: dict[str, str] = {}
    for raw, value in scope["headers"]:
        name = raw.decode("latin-1").lower()
        joined = "; " if name == "cookie" else ", "
        found[name] = f"{found[name]}{joined}{value.decode('latin-1')}" if name in found else value.decode("latin-1")
    return found


def _query(scope: Scope) -> list[tuple[str, str]]:
    try:
        return parse_qsl(scope["query_string"].decode("latin-1"), keep_blank_values=True, max_num_fields=100)
    except ValueError:
        raise Refusal(400, "Too many fields", "Go back and ask for less at once.") from None


def _from_here(headers: dict[str, str], host: str) -> bool:
    """Whether a changing request comes from a page of this very address.

    A form on a page with ``Referrer-Policy: no-referrer`` is sent with ``Origin: null``; the browser's own word on where it comes from, which no page
    can set, tells it from a form on another site.
    """
    origin = headers.get("origin", "")
    if origin == "null":
        return headers.get("sec-fetch-site", "") == "same-origin"
    return origin.lower() == f"http://{host.lower()}"


async def _go_on(answer: _Answer, scope: Scope, query: str, headers: dict[str, str]) -> None:
    """Send the browser to the same address without the word.

    A browser that comes from another site (a letter, a chat) does not send the new cookie on a redirect; it is sent on by a page of ours instead.
    """
    path = "/" + (scope.get("raw_path") or scope["path"].encode()).decode("latin-1").split("?")[0].lstrip("/\\")
    place = "".join(
        sign for sign in (f"{path}?{query}" if query else path) if 32 < ord(sign) < 127 and sign not in "\"'<>\\"
    )
    if headers.get("sec-fetch-site", "") == "cross-site":
        page = f'<!doctype html><html lang="en"><title>glazecalc</title><meta http-equiv="refresh" content="0; url={place.replace("&", "&amp;")}"><p>One moment.'
        await answer.whole(200, page.encode(), ((b"content-type", b"text/html; charset=utf-8"),))
    else:
        await answer.whole(303, b"", ((b"location", place.encode()),))


async def _whole(receive: Receive, headers: dict[str, str]) -> Receive:
    """Read the whole body, up to what a card may be, and return what hands it on."""
    too_large = Refusal(
        413,
        "This is too long",
        "A card may have 100,000 letters. Go back in the browser: what you typed is still there.",
    )
    length = headers.get("content-length", "0")
    if not length.isascii() or not length.isdigit() or int(length[:12]) > LARGEST_BODY:
        raise too_large
    body = b""
    while True:
        message = await receive()
        if message["type"] != "http.request":
            break
        body += message.get("body", b"")
        if len(body) > LARGEST_BODY:
            raise too_large
        if not message.get("more_body", False):
            break
    waiting = [{"type": "http.request", "body": body, "more_body": False}]

    async def once() -> Message:
        return waiting.pop() if waiting else await receive()

    return once


def tell(error: Exception | str) -> None:
    """Say on standard error what went wrong, in one line, for whoever mends the program."""
    import sys
    from traceback import extract_tb

    places = extract_tb(error.__traceback__) if isinstance(error, BaseException) else None
    at = f" ({places[-1].filename}:{places[-1].lineno})" if places else ""
    kind = f"{type(error).__name__}: " if isinstance(error, BaseException) else ""
    text = " ".join(f"glazecalc open: {kind}{error}{at}".split())
    sys.stderr.write(f"{text[:500]}\n".encode("ascii", "backslashreplace").decode())
