"""One card in a browser: typed, seen, saved, undone; two windows; a file that is gone; a workbench that has stopped."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

from tests.browser.server import Served
from tests.browser.watch import Watched

if TYPE_CHECKING:
    from playwright.sync_api import Page

BLACK = "/glaze/harbour-black.txt"
SILICA = re.compile(r"Silica +22")


def opened(page: Page, at: Served, path: str = BLACK) -> Page:
    page.goto(at.home + path)
    return page


def card(page: Page) -> str:
    return page.locator("#text").input_value()


def write(page: Page, text: str) -> None:
    """Write over the card, and wait until what it comes to stands there."""
    page.locator("#text").fill(text)
    answered(page)


def answered(page: Page) -> None:
    page.locator("#answer:not([aria-busy])").wait_for()


def moles(page: Page, oxide: str) -> float:
    """Return the moles of an oxide that the formula shows."""
    words = page.locator(".formula").inner_text().replace("\xa0", " ")
    found = re.search(rf"(\d+\.\d\d)\s+{oxide}\b", words)
    assert found is not None, words
    return float(found[1])


def test_a_card_is_typed_and_the_formula_follows(workbench: Served, let_in: Callable):
    page = opened(let_in(workbench), workbench)
    before = moles(page, "SiO2")
    assert page.locator("#state").inner_text() == "saved"
    text = page.locator("#text")
    place = card(page).index("22")
    text.evaluate("(box, at) => { box.focus(); box.setSelectionRange(at, at + 2); }", place)
    page.keyboard.type("30")
    answered(page)
    assert moles(page, "SiO2") > before + 0.2
    assert page.locator("#state").inner_text() == "not saved"
    assert "Against the saved card" in page.locator("#beside").inner_text()
    assert SILICA.search(workbench.card("harbour-black.txt").read_text()), "nothing is written before it is saved"


def test_a_wrong_line_is_marked_and_led_to(workbench: Served, let_in: Callable):
    page = opened(let_in(workbench), workbench)
    page.locator("details").first.evaluate("(one) => { one.open = true; }")
    before = page.locator("#answer").inner_text()
    lines = card(page).split("\n")
    number = next(n for n, line in enumerate(lines, start=1) if line.startswith("Whiting"))
    lines[number - 1] = "Whitting                       8"
    write(page, "\n".join(lines))
    marked = page.locator(".gutter li.wrong")
    assert marked.all_inner_texts() == [str(number)]
    told = page.locator(".marks").inner_text()
    assert f"line {number}" in told
    assert "Whiting" in told, "what may have been meant"
    assert page.locator("#text").get_attribute("aria-invalid") == "true"
    assert page.locator("#answer.stale").count() == 1
    assert page.locator("#answer").inner_text() == before, "the last answer stays, and is pale"
    page.locator(".marks a").first.click()
    chosen = page.evaluate("[document.activeElement.id, getSelection().toString()]")
    assert chosen == ["text", lines[number - 1]]
    write(page, "\n".join(lines).replace("Whitting", "Whiting"))
    assert page.locator(".gutter li.wrong, .marks").count() == 0
    assert page.locator("#answer.stale").count() == 0


def test_save_reload_undo_redo(workbench: Served, let_in: Callable):
    page = opened(let_in(workbench), workbench)
    place = workbench.card("harbour-black.txt")
    first = place.read_bytes()
    changed = SILICA.sub("Silica                        27.5", card(page)) + "# thinner next time"
    write(page, changed)
    page.get_by_role("button", name="Save", exact=True).click()
    assert "Saved." in page.get_by_role("status").first.inner_text()
    assert place.read_text() == changed
    page.reload()
    assert card(page) == changed
    assert page.locator("#state").inner_text() == "saved"
    page.get_by_role("button", name="Undo").click()
    page.wait_for_url("**said=back*")
    assert place.read_bytes() == first
    assert SILICA.search(card(page))
    page.get_by_role("button", name="Redo").click()
    page.wait_for_url("**said=forth*")
    assert place.read_text() == changed


def test_two_windows_and_neither_loses_a_word(workbench: Served, let_in: Callable, watched: Watched):
    one, other = opened(let_in(workbench), workbench), opened(let_in(workbench), workbench)
    watched.awaited = ("409",)
    write(one, SILICA.sub("Silica 23", card(one)))
    one.keyboard.press("Control+s")
    one.wait_for_url("**said=saved*")
    write(other, SILICA.sub("Silica 24", card(other)))
    other.get_by_role("button", name="Save", exact=True).click()
    told = other.get_by_role("alert").inner_text()
    assert "changed meanwhile" in told
    assert "Silica 23" in told
    assert "Silica 24" in card(other)
    place = workbench.card("harbour-black.txt")
    assert "Silica 23" in place.read_text()
    other.get_by_role("button", name="Save", exact=True).click()
    other.wait_for_url("**said=saved*")
    assert "Silica 24" in place.read_text()
    other.locator(".earlier summary").click()
    other.locator(".earlier a").first.click()
    assert "Silica 23" in other.locator(".different").inner_text()
    other.get_by_role("button", name="Make this the card again").click()
    other.wait_for_url("**said=put-back*")
    assert "Silica 23" in place.read_text()


def test_a_file_that_is_gone_is_said_and_made_again(workbench: Served, let_in: Callable, watched: Watched):
    page = opened(let_in(workbench), workbench)
    text = card(page) + "# kept"
    write(page, text)
    workbench.card("harbour-black.txt").unlink()
    watched.awaited = ("409",)
    page.get_by_role("button", name="Save", exact=True).click()
    assert "The file is gone" in page.get_by_role("alert").inner_text()
    assert card(page) == text
    page.get_by_role("button", name="Save", exact=True).click()
    page.wait_for_url("**said=*")
    assert workbench.card("harbour-black.txt").read_text() == text


def test_what_is_typed_is_not_left_unasked(workbench: Served, let_in: Callable):
    page = opened(let_in(workbench), workbench)
    write(page, card(page) + "# mine")
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.get_by_role("link", name="Shelf of glazes").click()
    page.wait_for_url(workbench.home + "/")
    assert asked == ["beforeunload"]
    opened(page, workbench)
    page.get_by_role("link", name="Shelf of glazes").click()
    page.wait_for_url(workbench.home + "/")
    assert asked == ["beforeunload"], "an untouched card is left without a word"


def test_a_workbench_that_has_stopped_is_said(workbench: Served, let_in: Callable, watched: Watched):
    page = opened(let_in(workbench), workbench)
    workbench.process.terminate()
    workbench.process.wait(20)
    page.locator("#text").press_sequentially("x")
    page.get_by_text("The workbench does not answer").wait_for()
    assert "x" in card(page)
    assert all("ERR_CONNECTION_REFUSED" in fault for fault in watched.faults)
    watched.faults.clear()


def test_names_with_markup_quotes_and_emoji_are_text(workbench: Served, let_in: Callable):
    page = opened(let_in(workbench), workbench, "/new")
    title = "</textarea><script>document.title = 'in'</script>\"'&amp;<b>🏺"
    text = f"{title}   cone 6 ox\n</textarea><img src=x onerror=alert(1)> 5\nsilica 30\nwhiting 20\n"
    write(page, text)
    assert card(page) == text
    assert "<img src=x onerror=alert(1)>" in page.locator(".marks").inner_text()
    write(page, text.replace("</textarea><img src=x onerror=alert(1)> 5", "kaolin 5"))
    assert page.locator("#title").inner_text() == title
    page.locator("#as").fill("odd")
    page.get_by_role("button", name="Save", exact=True).click()
    page.wait_for_url("**/glaze/odd.txt?said=first")
    assert page.title() == f"{title} · glazecalc"
    assert page.locator("#answer script, #beside script, h1 b, img").count() == 0
    opened(page, workbench, "/")
    assert page.get_by_role("link", name=title).count() == 1
    page.locator("#q").fill("<b>🏺")
    assert page.locator("ul.shelf > li:visible").count() == 1


def test_the_shelf_is_searched_while_one_types(workbench: Served, let_in: Callable):
    page = let_in(workbench)
    assert page.url == workbench.home + "/", "the word has left the address"
    rows = page.locator("ul.shelf > li")
    assert rows.count() == len(list((workbench.folder / "recipes").glob("*.txt")))
    page.locator("#q").fill("cobalt")
    shown = [row for row in rows.all() if row.is_visible()]
    assert 0 < len(shown) < rows.count()
    assert page.locator("#found").inner_text() == f"{len(shown)} of {rows.count()}"
    page.locator("#q").press("Enter")
    page.wait_for_url("**?q=cobalt")
    assert rows.count() == len(shown)


def test_an_empty_folder_is_offered_a_start(tmp_path, let_in: Callable):
    from tests.browser.server import served

    folder = tmp_path / "new studio"
    folder.mkdir()
    with served(folder) as running:
        page = let_in(running)
        page.get_by_role("button", name="Begin with one card").click()
        page.get_by_role("link", name="First glaze").click()
        assert moles(page, "SiO2") > 1
        assert (folder / "recipes" / "first-glaze.txt").exists()
