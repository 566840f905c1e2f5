"""The Chromium of the system: where it is, how it is started, and why there is none."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Browser

__all__ = ("chromium", "why_not")

NAMED_BY = "CHROMIUM"
"""The environment variable that names a Chromium which stands elsewhere."""
_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
_ARGUMENTS = (
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    # it finds this machine and no other, whatever a page or the browser itself would ask for
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
)


def _place() -> str | None:
    named = os.environ.get(NAMED_BY)
    return shutil.which(named) if named else next(filter(None, map(shutil.which, _NAMES)), None)


def why_not() -> str:
    """Return why no browser can be driven; empty where one can."""
    missing = [name for name in ("playwright", "axe_playwright_python") if find_spec(name) is None]
    if missing:
        return f"{' and '.join(missing)} not installed: pip install 'glazecalc[browser]'"
    if _place() is None:
        named = os.environ.get(NAMED_BY)
        where = f"{NAMED_BY} names {named}, which is not there" if named else f"none of {', '.join(_NAMES)} is there"
        return f"no Chromium: {where}; apt-get install chromium, or name one in {NAMED_BY}"
    return ""


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start Chromium without a window, and end it."""
    from playwright.sync_api import sync_playwright

    is_root = hasattr(os, "geteuid") and os.geteuid() == 0  # its sandbox does not start as root
    arguments = [*_ARGUMENTS, *(["--no-sandbox"] if is_root else [])]
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=_place(), args=arguments)
        try:
            yield browser
        finally:
            browser.close()
