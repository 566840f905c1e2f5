"""A phone on the studio's own network: let in by a code that is typed once, to read and to tick, never to change anything."""

from __future__ import annotations

import hmac
import ipaddress
import secrets
import socket
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from glazecalc.errors import GlazeError

__all__ = ("CODE_MINUTES", "CODE_TRIES", "WARNING", "Phones", "cookies_called", "own_address")

CODE_MINUTES, CODE_TRIES = 10, 5  # this program's own choice, as are the six figures: five guesses of a million
_FIGURES = 6
_MOST_PHONES = 20
WARNING = (
    "everyone on this network can reach that address, and the pages go over it unencrypted: use it on your own network only. "
    "Who has typed the code can read and tick; nothing can be changed from there."
)
_NOWHERE = (
    "192.0.2.1",
    9,
)  # an address for documentation (RFC 5737): nothing is sent, the system says from where it would be


@dataclass(slots=True)
class Phones:
    """Which phones are let in: the code that holds now, and the cookies of those that have typed one."""

    address: str
    port: int
    clock: Callable[[], float] = time.monotonic
    _code: str = ""
    _until: float = 0.0
    _tries: int = 0
    _cookies: list[str] = field(default_factory=list)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    @property
    def url(self) -> str:
        """The address to open on the phone."""
        return f"http://{self.address}:{self.port}/"

    @property
    def cookie_name(self) -> str:
        """The name of the cookie of a phone."""
        return f"glazecalc-reading-{self.port}"

    def new_code(self) -> str:
        """Return a new code; one made before holds no more."""
        with self._lock:
            self._code = f"{secrets.randbelow(10**_FIGURES):0{_FIGURES}d}"
            self._until, self._tries = self.clock() + CODE_MINUTES * 60, CODE_TRIES
            return f"{self._code[:3]} {self._code[3:]}"

    def cookie_for(self, typed: str) -> bytes | None:
        """Return the line that sets the cookie of a phone that has typed the code; None where it is not, or no more, the code.

        The code is used up with it; five wrong ones end it.
        """
        figures = "".join(sign for sign in typed if sign.isascii() and sign.isdigit())
        with self._lock:
            if not self._code or self.clock() > self._until or self._tries < 1:
                self._code = ""
                return None
            self._tries -= 1
            if not hmac.compare_digest(figures.encode(), self._code.encode()):
                return None
            self._code = ""
            self._cookies = [*self._cookies, secrets.token_urlsafe(32)][-_MOST_PHONES:]
            return f"{self.cookie_name}={self._cookies[-1]}; Path=/; HttpOnly; SameSite=Strict".encode()

    def knows(self, cookies: str) -> bool:
        """Whether the cookies of a request hold that of a phone that was let in."""
        given = [value.encode("utf-8", "surrogatepass") for value in cookies_called(self.cookie_name, cookies)]
        return any(hmac.compare_digest(value, known.encode()) for value in given for known in self._cookies)


def cookies_called(name: str, cookies: str) -> list[str]:
    """Return the values of the cookies of this name; those of other servers on the same machine may be as odd as they like."""
    pairs = (pair.strip().partition("=") for pair in cookies.split(";"))
    return [value for found, _, value in pairs if found == name]


def own_address() -> str:
    """Return this machine's address on the network around it; GlazeError where there is none, or it is a public one."""
    found = _address()
    if found is None or found.is_loopback or found.is_unspecified:
        raise GlazeError("this machine is on no network that a phone could share.", "Leave --lan away.")
    if not found.is_private:
        raise GlazeError(f"{found} is a public address: the pages would be open to the whole net.", "Leave --lan away.")
    return str(found)


def _address() -> ipaddress.IPv4Address | None:
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
            asking.connect(_NOWHERE)
            return ipaddress.IPv4Address(asking.getsockname()[0])
    except OSError:
        pass
    try:
        return ipaddress.IPv4Address(socket.gethostbyname(socket.gethostname()))
    except (OSError, ValueError):
        return None
