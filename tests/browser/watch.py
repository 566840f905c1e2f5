"""What no page may do, watched while a test looks at it; and the rules for all to use a page."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page, Request

__all__ = ("Watched", "assert_for_all", "faults_of_access", "runs_over")

_HERE = ("127.0.0.1", "localhost")
_GRAVE = ("serious", "critical")


@dataclass
class Watched:
    """What the pages of a window did that they must not: errors on the console (a breach of the policy is one) and requests to elsewhere."""

    faults: list[str] = field(default_factory=list)
    awaited: tuple[str, ...] = ()  # an answer that a test asks for on purpose, such as "409"

    def over(self, context: BrowserContext) -> Watched:
        """Watch every page of a context."""
        context.on("request", self._asked)
        context.on("page", self._opened)
        return self

    def _opened(self, page: Page) -> None:
        page.on("console", lambda said: self._said(said.type, said.text, said.location["url"]))
        page.on("pageerror", lambda error: self.faults.append(f"script: {error}"))
        page.on("websocket", lambda socket: self.faults.append(f"socket to {socket.url}"))

    def _said(self, kind: str, text: str, where: str) -> None:
        if kind in ("error", "warning") and not any(f"status of {status}" in text for status in self.awaited):
            self.faults.append(f"console {kind}: {text} ({where})")

    def _asked(self, request: Request) -> None:
        address = urlsplit(request.url)
        if address.scheme not in ("data", "blob", "file") and address.hostname not in _HERE:
            self.faults.append(f"asks for {request.url}")


def faults_of_access(page: Page, *, only: str = "") -> list[str]:
    """Return what axe-core finds serious or critical on a page, in its own words; by `only` one of its rules."""
    from axe_playwright_python.sync_playwright import Axe

    options = {"resultTypes": ["violations"]} | ({"runOnly": [only]} if only else {})
    found = Axe().run(page, options=options).response["violations"]
    return [
        f"{rule['id']} ({rule['impact']}): {rule['help']}: {', '.join(str(node['target']) for node in rule['nodes'][:5])}"
        for rule in found
        if rule["impact"] in _GRAVE
    ]


def runs_over(page: Page) -> list[str]:
    """Return what of a page stands out of its window to the right; nothing where one need not scroll sideways."""
    found: list[str] = page.evaluate(
        """() => {
            if (document.scrollingElement.scrollWidth <= innerWidth) return [];
            const out = [...document.body.querySelectorAll("*")].filter((one) => one.getBoundingClientRect().right > innerWidth + 0.5);
            return [`${document.scrollingElement.scrollWidth} px`, ...out.slice(0, 8).map((one) => one.outerHTML.slice(0, 90))];
        }"""
    )
    return found


def assert_for_all(page: Page) -> None:
    """Hold a page, all of it unfolded, to its window at three widths and to the rules of access in light and dark."""
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    for width in (1280, 820, 390):
        page.set_viewport_size({"width": width, "height": 800})
        assert runs_over(page) == [], width
    assert faults_of_access(page) == []
    page.emulate_media(color_scheme="dark")
    assert faults_of_access(page, only="color-contrast") == []
