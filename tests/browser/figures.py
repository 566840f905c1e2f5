"""``python -m tests.browser.figures``: what one waits for in the browser, and what a server holds after long use. Printed, not asserted.

What the server alone takes is told by ``python -m tests.workbench.figures``.
"""

from __future__ import annotations

import random
import socket
import statistics
import sys
import tempfile
from collections import Counter
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING
from urllib.parse import quote, urlsplit

from tests.browser.chromium import chromium, why_not
from tests.browser.pages import PAGES
from tests.browser.server import Served, copy_of_the_studio, served
from tests.workbench.figures import resident_mb

if TYPE_CHECKING:
    from playwright.sync_api import Page

CHECKS, LOADS, REQUESTS = 2000, 200, 10_000
_KEYSTROKES = 60
_SLICES = 4
_SLOW = ("substitute, answer", "match, answer")  # a search takes seconds of its own

# From the key to the frame in which the answer is drawn.
_WAITED = """async (letter) => {
    const text = document.getElementById("text");
    const answer = document.getElementById("answer");
    const start = performance.now();
    text.setRangeText(letter, text.value.length, text.value.length, "end");
    text.dispatchEvent(new InputEvent("input", {bubbles: true}));
    await new Promise((done) => {
        const look = () => (answer.hasAttribute("aria-busy") ? setTimeout(look, 1) : requestAnimationFrame(done));
        look();
    });
    return performance.now() - start;
}"""


def main() -> int:
    """Measure on a copy of the studio; exit 1 where there is no browser."""
    if lacking := why_not():
        print(lacking, file=sys.stderr)
        return 1
    with tempfile.TemporaryDirectory() as made, chromium() as browser:
        folder = copy_of_the_studio(Path(made))
        start = perf_counter()
        with served(folder) as running:
            said = perf_counter()
            page = browser.new_context().new_page()
            page.goto(running.address)
            page.locator("ul.shelf").wait_for()
            shown = perf_counter()
            print(
                f"address after {1000 * (said - start):.0f} ms, the shelf is drawn {1000 * (shown - said):.0f} ms later"
            )
            _waits(page, running)
            _growth(page, running)
            _random_requests(page, running)
    return 0


def _waits(page: Page, running: Served) -> None:
    page.goto(running.home + PAGES["a glaze"])
    waits = [page.evaluate(_WAITED, letter) for letter in ("#" + "tried" * _KEYSTROKES)[:_KEYSTROKES]]
    page.locator("#text").fill(page.locator("#text").input_value().partition("#tried")[0])
    text = running.card("harbour-black.txt").read_text()
    changed = []
    for number in range(_KEYSTROKES):
        page.locator("#text").fill(text.replace("22", f"{22 + number / 10:.1f}"))
        page.locator("#answer:not([aria-busy])").wait_for()
        changed.append(page.evaluate(_WAITED, "\n" if number % 2 else " "))
    for what, took in (("a remark", waits), ("behind a changed amount", changed)):
        took.sort()
        print(
            f"from key to drawn answer, {what}: {statistics.median(took):.0f} ms, 19 of 20 within {took[int(0.95 * len(took))]:.0f} ms"
        )


def _growth(page: Page, running: Served) -> None:
    process = running.process.pid
    text = running.card("harbour-black.txt").read_text()
    held = [resident_mb(process)]
    page.goto(running.home + PAGES["a glaze"])
    for part in range(_SLICES):
        for number in range(CHECKS // _SLICES):
            page.evaluate(
                "async (form) => { const reply = await fetch('/work-out', {method: 'POST', body: new URLSearchParams(form)}); await reply.text(); }",
                {"name": "harbour-black.txt", "text": text.replace("22", f"{22 + part + number / 1000:.3f}")},
            )
        held.append(resident_mb(process))
    print(
        f"server, MB, at first and after each {CHECKS // _SLICES} live checks: {', '.join(f'{one:.0f}' for one in held)}"
    )
    paths = [path for name, path in PAGES.items() if name not in _SLOW]
    held = [held[-1]]
    for part in range(_SLICES):
        for number in range(LOADS // _SLICES):
            page.goto(running.home + paths[(part * LOADS // _SLICES + number) % len(paths)])
        held.append(resident_mb(process))
    print(f"server, MB, after each {LOADS // _SLICES} page loads more: {', '.join(f'{one:.0f}' for one in held[1:])}")


def _random_requests(page: Page, running: Served) -> None:
    """Send what no page sends, with the cookie and without, and see that the server answers each and the folder is as it was."""
    at, chance = urlsplit(running.home), random.Random(15)
    cookie = "; ".join(f"{one['name']}={one['value']}" for one in page.context.cookies())
    before = {place: place.read_bytes() for place in running.folder.rglob("*") if place.is_file()}
    answers: Counter[str] = Counter()
    for _ in range(REQUESTS):
        with socket.create_connection((at.hostname, at.port), timeout=10) as line:
            try:
                sent = _request(chance, at.netloc, cookie)
                line.sendall(sent)
                if b"HTTP/1.1" not in sent:
                    line.shutdown(socket.SHUT_WR)  # what is no request is not waited for
                head = line.recv(65536)
            except OSError:
                head = b""
            answers[head[9:12].decode("ascii", "replace") or "hung up"] += 1
            assert b"Traceback" not in head
    same = before == {place: place.read_bytes() for place in running.folder.rglob("*") if place.is_file()}
    page.goto(running.home + "/")
    page.locator("ul.shelf").wait_for()
    told = ", ".join(f"{status} {count}" for status, count in sorted(answers.items()))
    print(
        f"{REQUESTS} random requests: {told}; the folder is {'as it was' if same else 'CHANGED'}, the shelf still opens; server {resident_mb(running.process.pid):.0f} MB"
    )


_BITS = (
    "..",
    "%2e%2e",
    "recipes",
    "etc/passwd",
    "%00",
    "\\",
    "🏺",
    "glaze",
    "harbour-black.txt",
    "do",
    "scale",
    "materials",
    "new",
    "static",
    "work-out",
    "<script>",
    "'",
    "~",
    "CON",
    "a" * 300,
)
_FIELDS = (
    "text",
    "seen",
    "name",
    "do",
    "as",
    "body",
    "asked",
    "all-in",
    "with",
    "kind",
    "o-SiO2",
    "q",
    "token",
    "number",
)
_VALUES = (
    "",
    "save",
    "undo",
    "save-as",
    "studio",
    "../../x",
    "\x00",
    "<b>",
    "9" * 400,
    "é",
    "-1",
    "nan",
    "body-slate.yaml",
    "%",
    "1e308kg",
)


def _request(chance: random.Random, host: str, cookie: str) -> bytes:
    kind = chance.random()
    if kind < 0.05:
        return chance.randbytes(chance.randrange(1, 400))
    path = "/" + "/".join(chance.choice(_BITS) for _ in range(chance.randrange(4)))
    form = "&".join(f"{chance.choice(_FIELDS)}={quote(chance.choice(_VALUES))}" for _ in range(chance.randrange(6)))
    method = chance.choice(("GET", "GET", "POST", "PUT", "DELETE", "HEAD", "OPTIONS", "BREW"))
    origin = chance.choice((f"http://{host}", "null", "http://elsewhere.example", ""))
    # what would be a page's own wish to save is no attack: with the right origin and cookie nothing is asked that a form would do
    known = (
        cookie
        if chance.random() < 0.7 and not (method == "POST" and origin == f"http://{host}")
        else "glazecalc-1=guess"
    )
    lines = [
        f"{method} {quote(path, safe='/%')}?{form} HTTP/1.1",
        f"Host: {chance.choice((host, host, host, 'elsewhere.example', ''))}",
        f"Cookie: {known}",
    ]
    if origin:
        lines.append(f"Origin: {origin}")
    if kind < 0.2:
        lines.append(f"X-{'y' * chance.randrange(20)}: {'z' * chance.randrange(40_000)}")
    lines += [
        "Content-Type: application/x-www-form-urlencoded",
        f"Content-Length: {chance.choice((len(form), len(form), 0, 10**9))}",
        "Connection: close",
    ]
    return ("\r\n".join(lines) + "\r\n\r\n" + form).encode("utf-8", "replace")


if __name__ == "__main__":
    sys.exit(main())
