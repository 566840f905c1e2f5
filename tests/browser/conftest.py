"""A browser for the whole run, and a window of it for each test."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.browser.chromium import chromium, why_not
from tests.browser.pages import with_odd_files
from tests.browser.server import Served, copy_of_the_studio, served
from tests.browser.watch import Watched

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

NO_BROWSER = why_not()
PATIENCE_MS = 15_000  # of a busy machine; a page answers in a tenth of a second


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)
            if NO_BROWSER:
                item.add_marker(pytest.mark.skip(reason=NO_BROWSER))


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with chromium() as started:
        yield started


@pytest.fixture
def watched() -> Iterator[Watched]:
    """What the windows of a test must not do; judged when the test is over."""
    watching = Watched()
    yield watching
    assert watching.faults == []


@pytest.fixture
def new_window(browser: Browser, watched: Watched) -> Iterator[Callable[..., Page]]:
    """Open windows; each is a browser of its own, without the cookies of another."""
    contexts = []

    def opened(**options: Any) -> Page:
        context = browser.new_context(**options)
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)
        watched.over(context)
        return context.new_page()

    yield opened
    for context in contexts:
        context.close()


@pytest.fixture
def workbench(tmp_path: Path) -> Iterator[Served]:
    """A workbench over a folder of the test's own."""
    with served(copy_of_the_studio(tmp_path)) as running:
        yield running


@pytest.fixture(scope="session")
def looked_at(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A workbench that tests only look at: nothing is saved in it."""
    with served(with_odd_files(copy_of_the_studio(tmp_path_factory.mktemp("looked-at")))) as running:
        yield running
        assert not (running.folder / "recipes" / ".glaze-history").exists()


@pytest.fixture
def let_in(new_window: Callable[..., Page]) -> Callable[..., Page]:
    """Open a window that has been let in, at the shelf of the workbench that a test uses."""

    def opened(at: Served, **options: Any) -> Page:
        page = new_window(**options)
        page.goto(at.address)
        return page

    return opened
