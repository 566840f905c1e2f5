"""The weighing card in a browser: on one page of paper, and ticked on a telephone without a script."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from glazecalc.library import MaterialLibrary
from tests.browser.html_files import written
from tests.show.test_sheet_fits import sheets


def pages_of(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page(?![a-zA-Z])", pdf))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_fourteen_lines_are_one_page(paper: str, library: MaterialLibrary, tmp_path: Path, new_window: Callable):
    page = new_window()
    for name, text in sheets(library).items():
        file = tmp_path / f"{name}.html"
        file.write_text(text, encoding="utf-8")
        page.goto(file.as_uri())
        assert pages_of(page.pdf(format=paper)) == 1, name
    page.evaluate("document.querySelector('tbody').append(...document.querySelector('tbody').cloneNode(true).children)")
    assert pages_of(page.pdf(format=paper)) == 2  # the count can tell


def test_each_line_is_ticked_by_its_name(tmp_path: Path, new_window: Callable):
    page = new_window(viewport={"width": 390, "height": 800}, has_touch=True, java_script_enabled=False)
    page.goto(written("card", tmp_path).as_uri())
    for name in ("Potash feldspar", "Whiting", "+ Cobalt carbonate"):
        box = page.get_by_label(name, exact=True)
        page.get_by_text(name, exact=True).tap()
        assert box.is_checked()
        edge = box.bounding_box()
        assert min(edge["width"], edge["height"]) >= 24  # px: the least size of a target, WCAG 2.2, 2.5.8
    page.get_by_label("jug 1").check()
    page.get_by_label("Silica", exact=True).focus()
    page.keyboard.press("Space")
    assert page.get_by_label("Silica", exact=True).is_checked()
