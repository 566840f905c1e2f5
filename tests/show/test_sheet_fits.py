"""The sheet to print: 14 lines stay on one page of A4 and of Letter, and within a telephone's 390 px.

There is no browser in the tests: the sizes of the style, which are in mm, are added up line by line, with letters taken as wide as those
of a wide sans serif (0.54 of their height on average; Helvetica's lower-case letters have 0.5).
"""

from __future__ import annotations

import math
import re
from html.parser import HTMLParser

import pytest

import glazecalc as gc
from glazecalc.caution.bench import short_cautions
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe
from glazecalc.show.sheet_html import sheet_html

PAGES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1: 8.5 by 11 inches
PX = 25.4 / 96  # a CSS pixel
LETTER_WIDTH = 0.54

BASE = {
    "potash feldspar": 22, "nepheline syenite": 10, "wollastonite": 9, "whiting": 8, "dolomite": 6, "talc": 5, "kaolin": 9,
    "ball clay": 7, "silica": 15.5, "zinc oxide": 4, "lithium carbonate": 4.5,
}  # fmt: skip
COLOUR = {"red iron oxide": 4, "rutile": 3, "cobalt carbonate": 0.05}
ASKED = {"date": "12 May", "batch_no": "7", "mesh": "80"}


class Blocks(HTMLParser):
    """The blocks of a page in their order: class or tag, and the text at each size of letters [mm]."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)[1]  # type: ignore[index]
        self.blocks: list[tuple[str, dict[float, str]]] = []
        self.open: list[str] = []
        self.feed(page.split("<body>")[1].split("</body>")[0])

    def size(self, selector: str, name: str) -> float:
        """Return a size of the style [mm]; of two in a row the first."""
        rule = re.search(rf"^{re.escape(selector)}\{{(.*?)\}}", self.style, re.MULTILINE)[1]  # type: ignore[index]
        return float(re.search(rf"(?:^|;){name}:([\d.]+)", rule)[1])  # type: ignore[index]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        name = next((value or "" for key, value in attrs if key == "class"), "") or tag
        self.open.append(name)
        if tag in ("h1", "p", "tr", "li", "div", "ul", "table"):
            self.blocks.append((" ".join(self.open), {}))

    def handle_endtag(self, _tag: str) -> None:
        self.open.pop()

    def handle_data(self, data: str) -> None:
        small = any("s" in name.split() for name in self.open)
        letters = self.size(".s", "font-size") if small else self.size("body", "font")
        if data.strip() and "n" not in self.open:
            texts = self.blocks[-1][1]
            texts[letters] = texts.get(letters, "") + data.strip("\n")


def height_mm(page: str, width: float) -> float:
    """Return how much of a page of this width the sheet takes [mm]."""
    read = Blocks(page)
    line = float(re.search(r"font:[\d.]+mm/([\d.]+)mm", read.style)[1])  # type: ignore[index]
    inside = width - 2 * read.size("@page", "size:auto;margin")
    column = (inside - read.size(".c", "columns:2 80mm;column-gap")) / 2
    total, small = 0.0, 0.0
    for where, texts in read.blocks:
        long = sum(len(text) * letters * LETTER_WIDTH for letters, text in texts.items())
        last = where.split()[-1]
        if where.startswith("h1"):
            total += math.ceil(len(next(iter(texts.values()))) * 6 * 0.62 / inside) * read.size(
                "h1", "font-size:6mm;line-height"
            )
        elif last == "tr":
            name_column = (
                inside - read.size("td.b", "width") - 2 * 26
            )  # two columns of numbers, 8 digits of 4.6 mm each
            total += math.ceil(max(long, 1) / name_column) * line + 2 * 0.6 + 0.2
        elif " c " in f" {where} ":
            if last in ("p", "li"):
                small += math.ceil(max(long, 1) / column) * read.size(".s", "font-size:2.9mm;line-height") + 2 * 0.4
        elif last == "f":
            total += math.ceil((long + 2 * 24) / inside) * (line + 1) + 2 * read.size(
                ".f", "display:flex;flex-wrap:wrap;gap:1mm 6mm;margin"
            )
        elif last == "p":
            total += math.ceil(max(long, 1) / (inside - 5)) * line + 2 * (0.5 if "w" in where.split() else 1)
        elif last in ("w", "table"):
            total += 2 * 2 + (2 * 1.5 if last == "w" else 0)
    return total + small / 2 + 2 * read.size(".s", "font-size:2.9mm;line-height")  # columns break between blocks


def _sheets(library: MaterialLibrary) -> dict[str, str]:
    plain = Recipe.from_parts("Fourteen Lines, with a rather long name for a glaze", BASE, COLOUR)
    longest = sorted((m for m in library.values() if m.density_g_cm3), key=lambda m: -len(m.name))[:14]
    sheets = {}
    for key, recipe in (("plain", plain), ("long", Recipe.from_parts("Long", {m.name: 100 / 14 for m in longest}))):
        scaled = gc.scale(recipe, library, volume_l=20, specific_gravity=1.45, step_g=5, capacity_g=1000)
        sheets[key] = sheet_html(scaled, bench=short_cautions(scaled.materials), **ASKED)
    return sheets


@pytest.mark.parametrize("paper", PAGES)
def test_fourteen_lines_stay_on_one_page(paper: str, library: MaterialLibrary):
    width, height = PAGES[paper]
    room = height - 2 * 11
    for name, page in _sheets(library).items():
        assert page.count("<tr>") in (16, 15)  # the head, 14 lines, and one over the additions
        assert "@page{size:auto;margin:11mm}" in page
        assert height_mm(page, width) < room, name


def test_it_would_not_fit_with_twice_the_lines(library: MaterialLibrary):
    page = _sheets(library)["plain"]
    rows = re.search(r"<table>(.*)</table>", page, re.DOTALL)[1]  # type: ignore[index]
    assert height_mm(page.replace(rows, rows + rows), 215.9) > 279.4 - 22


def test_it_is_as_narrow_as_a_telephone(library: MaterialLibrary):
    for page in _sheets(library).values():
        assert '<meta name="viewport" content="width=device-width' in page
        body = page.split("<body>")[1]
        numbers = [len(text) for text in re.findall(r'<td class="n">([^<]*)</td>', body)]
        # What cannot be broken: the box, two columns of numbers, and room for a word of 15 letters; their padding; the page's edges.
        unbroken = 7 + 2 * max(max(numbers) * 4.6 * 0.62, len("running g") * 4 * 0.62) + 15 * 4 * LETTER_WIDTH + 8 * 1
        assert unbroken + 2 * 3 < 390 * PX
        assert "overflow-wrap:anywhere" in page  # longer words break


def test_what_stands_on_it_and_in_which_order(library: MaterialLibrary):
    page = _sheets(library)["plain"].split("<body>")[1]
    text = re.sub(r"<[^>]*>", " ", page)
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
    poured = re.search(r"water (\d+) g \(or ml\): pour (\d+) first, jugs of 2 l: ((?:☐ )+)and (\d+) ml", text)
    held = int(re.search(r"hold back (\d+) g", text)[1])  # type: ignore[index]
    assert poured is not None
    water, first, rest = int(poured[1]), int(poured[2]), int(poured[4])
    assert water == first + held
    assert first == 2000 * poured[3].count("☐") + rest
    assert text.count(str(water)) == 1  # given once
