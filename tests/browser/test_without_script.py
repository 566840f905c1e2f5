"""The same jobs where no script runs: plain forms do them all."""

from __future__ import annotations

from collections.abc import Callable

from tests.browser.server import Served
from tests.browser.watch import Watched


def test_a_card_is_worked_out_saved_and_undone(workbench: Served, let_in: Callable, watched: Watched):
    page = let_in(workbench, java_script_enabled=False)
    place = workbench.card("harbour-black.txt")
    first = place.read_bytes()
    page.get_by_role("link", name="Harbour Black").click()
    text = page.locator("#text")
    text.fill(text.input_value().replace("Silica                        22", "Silicon                       27"))
    page.get_by_role("button", name="Work it out").click()
    assert page.locator(".gutter li.wrong").count() == 1
    assert "Not worked out while this stands" in page.locator("#beside").inner_text()
    text.fill(text.input_value().replace("Silicon ", "Silica "))
    page.get_by_role("button", name="Work it out").click()
    assert "Against the saved card" in page.locator("#beside").inner_text()
    assert place.read_bytes() == first
    page.get_by_role("button", name="Save", exact=True).click()
    assert "Saved." in page.get_by_role("status").first.inner_text()
    assert "27\n" in place.read_text()
    page.get_by_role("button", name="Undo").click()
    assert place.read_bytes() == first
    watched.awaited = ("409",)
    place.write_bytes(first + b"# from elsewhere\n")
    text.fill(text.input_value() + "# from here\n")
    page.get_by_role("button", name="Save", exact=True).click()
    assert "changed meanwhile" in page.get_by_role("alert").inner_text()
    assert "# from here" in text.input_value()


def test_a_search_and_a_new_card(workbench: Served, let_in: Callable):
    page = let_in(workbench, java_script_enabled=False)
    page.get_by_role("searchbox").fill("celadon")
    page.get_by_role("button", name="Find").click()
    assert page.locator("ul.shelf > li").count() == 1
    page.get_by_role("link", name="New glaze").click()
    page.locator("#text").fill("Marsh Straw   cone 6 ox\nPotash feldspar 40\nWhiting 20\nKaolin 10\nSilica 30\n")
    page.get_by_role("button", name="Save", exact=True).click()
    page.wait_for_url("**/glaze/marsh-straw.txt?said=first")
    assert page.locator(".formula").is_visible()
