"""Every page of the workbench: for all at every width, quiet on the console, and nothing from elsewhere."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.browser.pages import PAGES
from tests.browser.server import Served
from tests.browser.watch import Watched, assert_for_all

_ON_PURPOSE = {"no such page": "404"}


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_for_all_at_every_width(name: str, looked_at: Served, let_in: Callable, watched: Watched):
    page = let_in(looked_at, viewport={"width": 1280, "height": 900})
    watched.awaited = (_ON_PURPOSE.get(name, "200"),)
    page.goto(looked_at.home + PAGES[name])
    assert_for_all(page)
    assert page.locator("h1:visible").count() >= 1
    assert page.locator(".answer-page").count() == name.endswith(", answer")


def test_every_address_of_the_application_is_looked_at():
    """So that a new page does not stay unseen: an address stands for a pattern when it fits it."""
    import importlib
    import re

    from glazecalc.workbench.app import MODULES

    found = [importlib.import_module(f"glazecalc.workbench.{module}").ROUTES for module in MODULES]
    shown = {address for routes in found for methods, address, _ in routes if "GET" in methods}
    unseen = [
        address
        for address in shown
        if not any(re.fullmatch(re.sub(r"\{\w+\}", "[^/]+", address), at.partition("?")[0]) for at in PAGES.values())
    ]
    assert sorted(unseen) == sorted(_SEEN_ELSEWHERE)


_SEEN_ELSEWHERE = (
    "/phone",  # only with --lan
    "/start",  # only an empty folder has it: test_card
    "/glaze/{name}/earlier/{number}",  # only a saved card has it: test_card
)
