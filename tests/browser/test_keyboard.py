"""By keyboard alone: where one is, is seen; what can be clicked can be reached."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from tests.browser.pages import PAGES
from tests.browser.server import Served

if TYPE_CHECKING:
    from playwright.sync_api import Page

_MOST_STEPS = 400
_WHERE = """() => {
    const one = document.activeElement;
    if (!one || one === document.body) return null;
    const style = getComputedStyle(one);
    const box = one.getBoundingClientRect();
    return {
        what: one.outerHTML.slice(0, 80),
        ringed: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
        visible: box.width > 0 && box.height > 0 && box.right > 0 && box.left < innerWidth && box.bottom > 0 && box.top < innerHeight,
    };
}"""


def steps(page: Page) -> list[dict]:
    """Go through a page with the tab key, and return where it leads."""
    found = []
    for _ in range(_MOST_STEPS):
        page.keyboard.press("Tab")
        where = page.evaluate(_WHERE)
        if where is None:
            return found
        found.append(where)
    raise AssertionError("the tab key never leaves the page")


@pytest.mark.parametrize("name", ["shelf", "a glaze", "a wrong card", "a new glaze"])
def test_the_tab_key_reaches_everything_and_shows_where_it_is(name: str, looked_at: Served, let_in: Callable):
    page = let_in(looked_at, viewport={"width": 1280, "height": 900})
    page.goto(looked_at.home + PAGES[name])
    found = steps(page)
    assert [step["what"] for step in found if not step["ringed"]] == []
    assert [step["what"] for step in found if not step["visible"]] == []
    assert "skip" in found[0]["what"], "the first step leads past the head"
    reachable = page.evaluate(
        "[...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')].filter((one) => one.checkVisibility()).length"
    )
    assert len(found) >= reachable


def test_a_card_is_changed_and_saved_without_a_mouse(workbench: Served, let_in: Callable):
    page = let_in(workbench)
    press = page.keyboard.press
    press("Tab")
    press("Enter")  # past the head
    page.keyboard.type("")
    for _ in range(20):
        press("Tab")
        if page.evaluate("document.activeElement.textContent") == "Harbour Black":
            break
    press("Enter")
    page.wait_for_url("**/glaze/harbour-black.txt")
    for _ in range(20):
        press("Tab")
        if page.evaluate("document.activeElement.id") == "text":
            break
    press("Control+End")
    page.keyboard.type("# by hand\n")
    press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Save", (
        "the tab key leaves the card, and Save is next"
    )
    press("Enter")
    page.wait_for_url("**said=saved*")
    assert workbench.card("harbour-black.txt").read_text().endswith("# by hand\n")
