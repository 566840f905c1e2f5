"""The card to print: 14 lines stay on one page of A4 and of Letter, and within a telephone's 390 px.

There is no browser in the tests: the sizes of the card on paper, which are in mm, are added up line by line, with letters taken as wide as
those of a wide sans serif (0.54 of their height on average; Helvetica's lower-case letters have 0.5, a serif's fewer).
"""

from __future__ import annotations

import math
import re
from html.parser import HTMLParser

import pytest

import glazecalc as gc
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe
from glazecalc.show.html import html_page

PAGES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1: 8.5 by 11 inches
PX = 25.4 / 96  # a CSS pixel
LETTER_WIDTH = 0.54

BASE = {
    "potash feldspar": 22, "nepheline syenite": 10, "wollastonite": 9, "whiting": 8, "dolomite": 6, "talc": 5, "kaolin": 9,
    "ball clay": 7, "silica": 15.5, "zinc oxide": 4, "lithium carbonate": 4.5,
}  # fmt: skip
COLOUR = {"red iron oxide": 4, "rutile": 3, "cobalt carbonate": 0.05}
ASKED = {"date": "12 May", "batch_no": "7", "mesh": "80"}


def rules(style: str) -> dict[str, str]:
    """Return selector -> what a style sheet says of it on paper; what stands in one rule for several is said of each."""
    found: dict[str, str] = {}
    for block in re.findall(r"^@media print \{\n(.*?)^\}|^@media print \{ (.*?) \}$", style, re.DOTALL | re.MULTILINE):
        for selectors, said in re.findall(r"([^{}]+)\{([^{}]*)\}", block[0] or block[1]):
            for selector in selectors.split(","):
                found[selector.strip()] = found.get(selector.strip(), "") + said
    return found


class Blocks(HTMLParser):
    """The blocks of a page in their order: the classes and tags that they stand in, and their text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.rules = rules(re.search(r"<style>(.*?)</style>", page, re.DOTALL)[1])  # type: ignore[index]
        self.blocks: list[tuple[list[str], str]] = []
        self.open: list[str] = []
        self.feed(page.split("<main>")[1].split("</main>")[0])

    def size(self, selector: str, name: str) -> float:
        """Return a size on paper [mm]; of several in a row the first that is not 0."""
        sizes = re.search(rf"(?:^|[;\s]){name}:([^;]*)", self.rules[selector])[1]  # type: ignore[index]
        return float(re.search(r"([\d.]+)mm", sizes)[1])  # type: ignore[index]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "input":
            if self.blocks:
                where, text = self.blocks[-1]
                self.blocks[-1] = (where, text + "___")
            return
        name = next((value or "" for key, value in attrs if key == "class"), "")
        self.open.append(f"{tag}.{name}")
        if tag in ("header", "h1", "h2", "p", "tr", "li"):
            self.blocks.append((list(self.open), ""))

    def handle_endtag(self, _tag: str) -> None:
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if data.strip() and not any(re.match(r"t[dh]\.n", name) for name in self.open):
            where, text = self.blocks[-1]
            self.blocks[-1] = (where, text + data.strip("\n"))


def height_mm(page: str, width: float) -> float:
    """Return how much of a page of this width the card takes [mm]."""
    read = Blocks(page)
    line, letters = read.size(".card", "line-height"), read.size(".card", "font-size")
    inside = width - 2 * float(re.search(r"margin: [\d.]+mm ([\d.]+)mm", read.rules["@page"])[1])  # type: ignore[index]
    small_line, small_letters = (read.size(".small-print", name) for name in ("line-height", "font-size"))
    column = (inside - read.size(".small-print", "column-gap")) / 2
    numbers = 2 * 8 * read.size(".weigh .figure", "font-size") * 0.62  # two columns of 8 digits
    total, small = 0.0, 0.0

    def lines(text: str, size: float, room: float) -> int:
        return math.ceil(max(len(text), 1) * size * LETTER_WIDTH / room)

    for where, text in read.blocks:
        last = where[-1]
        if any("small-print" in name for name in where):
            small += lines(text, small_letters, column) * small_line + read.size(".small-print p", "margin")
        elif last.startswith("header"):
            total += read.size(".card .head", "margin-bottom") + read.size(".card .head", "padding-bottom") + 3 * PX
        elif last.startswith("h1"):
            size = read.size(".card h1", "font-size")
            total += lines(text, size * 0.62 / LETTER_WIDTH, inside) * read.size(".card h1", "line-height")
        elif last.startswith("h2"):  # the head of the water
            total += read.size(".card h2", "line-height")
            total += read.size(".card .water", "padding-bottom") + read.size(".card .water", "margin-bottom")
        elif last.startswith("tr"):
            room = inside - read.size(".weigh td:first-child", "width") - numbers
            padding = read.size(".weigh th", "padding-top") + read.size(".weigh th", "padding-bottom")
            total += lines(text, letters, room) * line + padding + PX
        elif last.startswith("p.tick"):
            total += lines(text, letters, inside - 8) * line + 2 * read.size(".card .tick", "margin")
        elif last.startswith("p.by-hand"):
            total += lines(text + "_" * 28, letters, inside) * (line + 2) + 2 * read.size(".card .by-hand", "margin")
        else:
            total += lines(text, letters, inside) * line + 2 * read.size(".card .total", "margin")
    return total + read.size(".small-print", "padding-top") + small / 2 + 2 * small_line  # columns break between blocks


def sheets(library: MaterialLibrary) -> dict[str, str]:
    """Return cards of fourteen lines: a plain one, and one of the longest names."""
    plain = Recipe.from_parts("Fourteen Lines, with a rather long name for a glaze", BASE, COLOUR)
    longest = sorted((m for m in library.values() if m.density_g_cm3), key=lambda m: -len(m.name))[:14]
    made = {}
    for key, recipe in (("plain", plain), ("long", Recipe.from_parts("Long", {m.name: 100 / 14 for m in longest}))):
        scaled = gc.scale(recipe, library, volume_l=20, specific_gravity=1.45, step_g=5, capacity_g=1000)
        made[key] = html_page(scaled, **ASKED)
    return made


@pytest.mark.parametrize("paper", PAGES)
def test_fourteen_lines_stay_on_one_page(paper: str, library: MaterialLibrary):
    width, height = PAGES[paper]
    for name, page in sheets(library).items():
        assert page.count("<tr") in (16, 15)  # the head, 14 lines, and one over the additions
        edge = float(re.search(r"@page \{ margin: ([\d.]+)mm", page)[1])  # type: ignore[index]
        assert height / 2 < height_mm(page, width) < height - 2 * edge, name


def test_it_would_not_fit_with_twice_the_lines(library: MaterialLibrary):
    page = sheets(library)["plain"]
    rows = re.search(r"<tbody>(.*?)</tbody>", page, re.DOTALL)[1]  # type: ignore[index]
    assert height_mm(page.replace(rows, rows + rows), 215.9) > 279.4 - 28


def test_it_is_as_narrow_as_a_telephone(library: MaterialLibrary):
    for page in sheets(library).values():
        assert '<meta name="viewport" content="width=device-width' in page
        rem, letters = 16, 1.05 * 16  # px: what a browser starts from, and the letters of the list
        assert (
            ".weigh { width: 100%; max-width: 48rem; border-bottom: 1px solid var(--ink); font-size: 1.05rem; }" in page
        )
        assert ".weigh .figure { font-size: 1.3em;" in page
        figures, running = (
            max(len(text) for text in re.findall(rf'<td class="{kind}">([^<]*)</td>', page))
            for kind in ("n figure", "n")
        )
        # What cannot be broken: the box, two columns of numbers, and room for a word of 15 letters; their padding; the page's edges.
        heads = len("running g") * 0.88 * rem * LETTER_WIDTH
        columns = 1.3 * figures * letters * 0.62 + max(running * letters * 0.62, heads) + 2 * 0.6 * rem
        assert 2.3 * rem + 15 * letters * LETTER_WIDTH + 0.6 * rem + columns < 390 - 2 * 1 * rem
        assert "overflow-wrap: anywhere" in page  # longer words break


def test_what_stands_on_it_and_in_which_order(library: MaterialLibrary):
    page = sheets(library)["plain"].split("<main>")[1]
    boxes = re.sub(r'<input type="checkbox"[^>]*>', "\u2610 ", page)
    text = " ".join(re.sub(r"<[^>]*>", "", boxes).split())
    marks = (
        "Water first",
        "hold back",
        "Potash feldspar",
        "additions, on top",
        "sieve 80 mesh",
        "gravity measured",
        "weighed by",
        "At the bench",
    )
    places = [text.index(mark) for mark in marks]
    assert places == sorted(places)
    poured = re.search(r"water (\d+) g \(or ml\): pour (\d+) first, jugs of 2 l: ((?:\u2610 )+)and (\d+) ml", text)
    held = int(re.search(r"hold back (\d+) g", text)[1])  # type: ignore[index]
    assert poured is not None
    water, first, rest = int(poured[1]), int(poured[2]), int(poured[4])
    assert water == first + held
    assert first == 2000 * poured[3].count("\u2610") + rest
    assert text.count(str(water)) == 1  # given once
