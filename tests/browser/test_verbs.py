"""Something is done with a glaze: weighed and ticked at the scale, printed, changed, and the answer saved."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import glazecalc as gc
from glazecalc.show.html import html_page
from glazecalc.workbench.jobs import FREE, JOBS
from tests.browser.server import Served

if TYPE_CHECKING:
    from playwright.sync_api import Page

BUTTONS = {job.title: job.button for job in (*JOBS, *FREE)}
BLACK = "/glaze/harbour-black.txt"
PHONE = {"viewport": {"width": 390, "height": 780}, "has_touch": True, "is_mobile": True}


def from_the_card(page: Page, at: Served, job: str) -> None:
    """Go from the card to the form of a verb, as one does."""
    page.goto(at.home + BLACK)
    page.get_by_role("link", name="Do something with it").click()
    page.get_by_role("link", name=job, exact=True).click()


def ask(page: Page, job: str, **fields: str) -> None:
    for name, value in fields.items():
        page.locator(f"[name={name}]").first.fill(value)
    page.get_by_role("button", name=BUTTONS[job], exact=True).click()
    page.locator(".answer-page").wait_for()


def test_a_bucket_is_weighed_and_ticked_on_a_phone(looked_at: Served, let_in: Callable):
    page = let_in(looked_at, **PHONE)
    from_the_card(page, looked_at, "Scale")
    ask(page, "Scale", fill="10l", sg="1.45", step="1g")
    recipe = gc.read_recipe(looked_at.card("harbour-black.txt"))
    lines = page.locator(".weigh tbody tr").filter(has=page.locator("input"))
    assert lines.count() == len(recipe.ingredients)
    told = page.locator(".ticked-so-far [role=status]")
    lines.nth(0).tap()
    lines.nth(1).locator("input").tap()
    lines.nth(2).get_by_text(re.compile(r"^\d+$")).first.tap()
    assert told.inner_text() == f"3 of {lines.count()} weighed"
    page.reload()
    assert [line.locator("input").is_checked() for line in lines.all()][:4] == [True, True, True, False]
    assert told.inner_text() == f"3 of {lines.count()} weighed"
    heights = [line.bounding_box()["height"] for line in lines.all()]
    assert min(heights) >= 44, "a wet finger needs a line of this height"
    page.goto(page.url.replace("10l", "5l"))
    assert not any(box.is_checked() for box in page.locator(".card input").all()), "another batch has ticks of its own"
    page.go_back()
    assert lines.nth(0).locator("input").is_checked()
    page.get_by_role("button", name="Clear the ticks").tap()
    page.get_by_role("button", name=re.compile("Sure")).tap()
    page.reload()
    assert not any(box.is_checked() for box in page.locator(".card input").all())


def test_a_list_of_the_same_glaze_on_another_device_has_no_ticks(looked_at: Served, let_in: Callable):
    address = f"{looked_at.home}{BLACK}/do/scale?asked=1&all-in=3kg"
    one, other = let_in(looked_at), let_in(looked_at)
    one.goto(address)
    one.locator(".weigh input").first.check()
    other.goto(address)
    assert not other.locator(".weigh input").first.is_checked()


def sheets(page: Page, place: Path, paper: str) -> int:
    page.pdf(path=place, format=paper, prefer_css_page_size=True)
    return len(re.findall(rb"/Type\s*/Page\b", place.read_bytes()))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_weighing_card_is_printed_on_one_sheet(paper: str, looked_at: Served, let_in: Callable, tmp_path: Path):
    page = let_in(looked_at)
    page.goto(f"{looked_at.home}{BLACK}/do/scale?asked=1&fill=10l&sg=1.45")
    assert sheets(page, tmp_path / "card.pdf", paper) == 1
    page.emulate_media(media="print")
    assert page.get_by_text("2153").first.is_visible()
    for away in (".bench-head", ".way-back", ".asked", ".ticked-so-far", "button"):
        assert not any(one.is_visible() for one in page.locator(away).all()), away


def test_a_label_is_printed_on_one_sheet(looked_at: Served, let_in: Callable, tmp_path: Path):
    page = let_in(looked_at)
    page.goto(f"{looked_at.home}{BLACK}/do/label?asked=1&all-in=5kg&date=12+May")
    assert sheets(page, tmp_path / "label.pdf", "A4") == 1


def test_a_material_is_missing_and_the_answer_becomes_a_card(workbench: Served, let_in: Callable):
    page = let_in(workbench)
    from_the_card(page, workbench, "Substitute")
    page.get_by_label("Potash feldspar").check()
    page.locator("[name=also]").fill("soda feldspar")
    page.get_by_role("button", name=BUTTONS["Substitute"], exact=True).click()
    page.locator(".to-save").wait_for()
    name = page.locator(".to-save input[name=as]").first.input_value()
    page.locator(".to-save button").first.click()
    page.wait_for_url("**said=first")
    saved = gc.read_recipe(workbench.card(f"{name.removesuffix('.txt')}.txt"))
    names = {item.material.lower() for item in saved.ingredients}
    assert not any("potash" in name for name in names)
    assert saved.based_on
    assert page.locator(".formula").is_visible()
    page.get_by_role("link", name="Shelf of glazes").click()
    assert page.locator("ul.shelf > li").count() == 6


def test_what_was_asked_stays_in_the_form_and_faults_stand_above_it(looked_at: Served, let_in: Callable):
    page = let_in(looked_at)
    from_the_card(page, looked_at, "Scale")
    page.locator("[name=all-in]").fill("a bucket full")
    page.get_by_role("button", name=BUTTONS["Scale"], exact=True).click()
    assert "a bucket full" in page.get_by_role("alert").inner_text()
    assert page.locator("[name=all-in]").input_value() == "a bucket full"
    ask(page, "Scale", **{"all-in": "2,5 kg"})
    assert page.locator(".weigh .figure").count() == 8
    page.get_by_text("change").click()
    assert page.locator("[name=all-in]").input_value() == "2,5 kg"


def test_without_script_a_batch_is_weighed_and_an_answer_saved(workbench: Served, let_in: Callable):
    page = let_in(workbench, java_script_enabled=False)
    from_the_card(page, workbench, "Scale")
    ask(page, "Scale", **{"all-in": "2kg"})
    page.locator(".weigh label").first.click()
    assert page.locator(".weigh input").first.is_checked()
    from_the_card(page, workbench, "Nudge")
    ask(page, "Nudge", wishes="alumina +0.03")
    page.locator(".to-save button").first.click()
    page.wait_for_url("**said=first")
    assert len(list((workbench.folder / "recipes").glob("*.txt"))) == 6


def test_an_answer_in_the_workbench_is_set_as_in_its_file(looked_at: Served, let_in: Callable, tmp_path: Path):
    """The style of the workbench stands beside that of the pages, and takes nothing of theirs for its own."""
    cells = """[...document.querySelectorAll(".sheet td, .sheet th")].map((one) => {
        const style = getComputedStyle(one);
        return [one.textContent, style.borderLeftWidth, style.backgroundColor, style.textAlign, style.fontWeight, style.paddingLeft];
    })"""
    library = gc.load_materials(looked_at.folder / "materials")
    black, clear = (gc.read_recipe(looked_at.card(f"{name}.txt")) for name in ("harbour-black", "rill-clear"))
    file = tmp_path / "compare.html"
    file.write_text(html_page(gc.compare(black, clear, library)), encoding="utf-8")
    page = let_in(looked_at)
    page.goto(f"{looked_at.home}{BLACK}/do/compare?asked=1&second=rill-clear.txt")
    here = page.evaluate(cells)
    page.goto(file.as_uri())
    assert here == page.evaluate(cells)
    assert len(here) > 100
