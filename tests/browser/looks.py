"""``python -m tests.browser.looks OUTDIR [NAME ...]``: pictures of every page at three widths, light and dark, and as it is printed, to be looked at.

With names, of the pages alone whose names hold one of them.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from tests.browser.chromium import chromium, why_not
from tests.browser.html_files import PAGES as FILES
from tests.browser.html_files import written
from tests.browser.pages import PAGES, with_odd_files
from tests.browser.server import Served, copy_of_the_studio, served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

WIDTHS = (1280, 820, 390)
_TALLEST_PX = 6000  # of a picture: what is below looks like what is above
_PRINT_DPI = 60


def main(words: list[str]) -> int:
    """Make the pictures, and say how many there are; exit 1 where there is no browser, 2 without a folder."""
    if not words:
        print(__doc__)
        return 2
    if lacking := why_not():
        print(lacking, file=sys.stderr)
        return 1
    place, wanted = Path(words[0]), words[1:]
    place.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as made:
        folder = with_odd_files(copy_of_the_studio(Path(made)))
        with served(folder) as running, chromium() as browser:
            pages = [
                pair
                for pair in _addresses(running, Path(made))
                if not wanted or any(word in pair[0] for word in wanted)
            ]
            for name, address in pages:
                _pictures(browser, running, name, address, place)
    count = len(list(place.glob("*.png")))
    print(f"{count} pictures of {len(pages)} pages are in {place}.")
    return 0


def _addresses(running: Served, made: Path) -> Iterator[tuple[str, str]]:
    yield from ((f"workbench {name}", running.home + path) for name, path in PAGES.items())
    yield from ((f"file {name}", written(name, made).as_uri()) for name in FILES)


def _pictures(browser: Browser, running: Served, name: str, address: str, place: Path) -> None:
    stem = name.replace(", ", "-").replace(" ", "-")
    for scheme in ("light", "dark"):
        context = browser.new_context(color_scheme=scheme)
        page = context.new_page()
        page.goto(running.address)
        page.goto(address)
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            height = min(page.evaluate("document.documentElement.scrollHeight"), _TALLEST_PX)
            page.set_viewport_size(
                {"width": width, "height": height}
            )  # what sticks to an edge of the window stands at its place then
            page.screenshot(path=place / f"{stem}-{width}-{scheme}.png")
        if scheme == "light":
            _printed(page, place / f"{stem}.pdf")
        context.close()


def _printed(page: Page, place: Path) -> None:
    """Print a page on A4, and make pictures of its sheets where there is a program for it."""
    page.pdf(path=place, format="A4", prefer_css_page_size=True, print_background=False)
    if drawing := shutil.which("pdftoppm"):
        subprocess.run(
            [drawing, "-r", str(_PRINT_DPI), "-png", str(place), str(place.with_suffix("")) + "-print"], check=True
        )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
