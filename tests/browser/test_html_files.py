"""Every file that ``--html`` writes, as a browser shows it: on a phone, in the dark, on paper."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.browser.html_files import PAGES, written
from tests.browser.watch import assert_for_all


@pytest.mark.parametrize("name", PAGES)
def test_a_written_page_is_for_all_at_every_width(name: str, tmp_path: Path, new_window: Callable):
    page = new_window(viewport={"width": 1280, "height": 900})
    page.goto(written(name, tmp_path).as_uri())
    assert_for_all(page)
