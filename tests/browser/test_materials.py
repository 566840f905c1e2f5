"""The materials, and a new bag from its sheet: checked while it is typed, saved, and used by the cards."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from glazecalc.files.materials import read_material
from tests.browser.server import Served
from tests.browser.watch import Watched

if TYPE_CHECKING:
    from playwright.sync_api import Page

SHEET = {"SiO2": "66.9", "Al2O3": "18,1 %", "K2O": "11.2", "Na2O": "2.6", "Fe2O3": "<0.1"}


def fill_in(page: Page, *, script: bool) -> None:
    page.locator("#name").fill("Heath spar")
    with page.expect_navigation():
        page.locator("#kind").select_option("feldspar")
        if not script:
            page.get_by_role("button", name="List the oxides of this kind").click()
    page.locator("#title").fill("Maker's sheet of May 2026")
    for oxide, value in SHEET.items():
        page.locator(f"#o-{oxide}").fill(value)
    page.locator("#loi_percent").fill("0.6")


def test_a_bag_is_entered_from_its_sheet(workbench: Served, let_in: Callable):
    page = let_in(workbench)
    page.get_by_role("link", name="Materials").click()
    page.get_by_role("link", name="New bag").click()
    fill_in(page, script=True)
    page.locator("#sum").get_by_text("99.40").wait_for()
    page.locator("#o-MgO, #o-CaO").first.fill("lots")
    wrong = page.locator(".wrong-here:visible").first
    wrong.wait_for()
    assert "lots" in wrong.inner_text()
    page.locator("#o-MgO, #o-CaO").first.fill("")
    page.get_by_role("button", name="Save", exact=True).click()
    page.wait_for_url(re.compile(r"/material/.+said=saved"))
    (place,) = set((workbench.folder / "materials").glob("*heath*"))
    saved = read_material(place)
    assert (saved.analysis["SiO2"], saved.analysis["Al2O3"], saved.loi_percent) == (66.9, 18.1, 0.6)
    assert saved.below_detection["Fe2O3"]
    page.goto(f"{workbench.home}/glaze/harbour-black.txt")
    page.locator("#text").fill(page.locator("#text").input_value().replace("Potash feldspar", "Heath spar     "))
    page.locator("#answer:not([aria-busy])").wait_for()
    assert page.locator(".marks .wrong").count() == 0
    assert "Heath spar" in page.locator("#answer").inner_text()


def test_a_bag_is_entered_without_script(workbench: Served, let_in: Callable, watched: Watched):
    page = let_in(workbench, java_script_enabled=False)
    page.goto(f"{workbench.home}/materials/new")
    fill_in(page, script=False)
    watched.awaited = ("409",)
    page.locator("#title").fill("")
    page.get_by_role("button", name="Save", exact=True).click()
    assert "Nothing has been saved" in page.get_by_role("alert").inner_text()
    assert page.locator("#title-wrong").is_visible()
    assert page.locator("#o-Al2O3").input_value() == SHEET["Al2O3"]
    page.locator("#title").fill("Maker's sheet of May 2026")
    page.get_by_role("button", name="Save", exact=True).click()
    page.wait_for_url(re.compile(r"/material/.+said=saved"))


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without"])
def test_the_materials_are_searched(script: bool, looked_at: Served, let_in: Callable):
    page = let_in(looked_at, java_script_enabled=script)
    page.get_by_role("link", name="Materials").click()
    page.get_by_role("searchbox").fill("feldspar")
    if not script:
        page.get_by_role("button", name="Find").click()
    rows = page.locator(".bags tbody tr:visible")
    names = [name.lower() for name in rows.locator("th").all_inner_texts()]
    assert "potash feldspar" in names
    assert len(names) < 40
    page.get_by_role("link", name="Potash feldspar", exact=True).click()
    assert "harbour" in page.locator(".used-in").inner_text().lower()
