"""The shelf: every card with its answers, found by its words, and what cannot be read with its reason."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from tests.workbench.bench import Workbench, opened, shown


def names(page: str) -> list[str]:
    return re.findall(r'<h2><a href="[^"]*">(.*?)</a></h2>', page)


def test_every_card_stands_there_with_the_words_of_the_folder_page(bench: Workbench):
    page = bench.get("/").text
    assert names(page) == ["Chalk Satin", "Harbour Black", "Lichen Crawl", "Rill Clear", "Weir Celadon"]
    report = gc.check_folder(bench.folder / "recipes", gc.load_materials(bench.folder / "materials"))
    for row, item in zip(report.rows, re.findall(r"<li data-words=.*?</li>", page, re.DOTALL), strict=True):
        words = shown(item)
        assert " ".join(f"{reading.about} {reading.word}" for reading in row.report.readings) in words
        assert f"cone {row.report.cone}" in words


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        ("harbour", ["Harbour Black"]),
        ("COBALT", ["Harbour Black"]),
        ("cone 10", ["Weir Celadon"]),
        ("plate talc", ["Chalk Satin", "Harbour Black"]),
        ("kaolin unobtainium", []),
        ("", ["Chalk Satin", "Harbour Black", "Lichen Crawl", "Rill Clear", "Weir Celadon"]),
    ],
)
def test_a_search_works_without_script(bench: Workbench, wanted: str, found: list[str]):
    assert names(bench.get("/?q=" + wanted.replace(" ", "+")).text) == found


def test_lead_is_named_on_the_shelf(bench: Workbench):
    bench.card("lead.txt").write_text("Old Lead   cone 04 ox\nlead bisilicate frit 80\nkaolin 20\n")
    assert "settle first: " in shown(bench.get("/").text)
    assert "Lead" in shown(bench.get("/?q=old+lead").text).partition("settle first:")[2]


def test_what_cannot_be_read_stands_there_with_its_reason_and_its_page(bench: Workbench):
    bench.card("binary.txt").write_bytes(b"\x00\x01\xff")
    bench.card("other.txt").write_bytes("Blå   cone 6\nwhiting 1".encode("latin-1"))
    bench.card("empty.txt").write_bytes(b"")
    bench.card("spar.txt").write_text("Which   cone 6\nspar 30\nsilica 70\n")
    page = shown(bench.get("/").text).partition("Not read")[2]
    for reason in (
        "binary.txt",
        "not UTF-8",
        "empty.txt",
        "no ingredients",
        "spar.txt",
        "Line 2: 'spar' fits several materials",
    ):
        assert reason in page
    assert "cannot be shown as a card" in shown(bench.get("/glaze/binary.txt").text)
    assert "spar 30" in bench.get("/glaze/spar.txt").text


def test_lists_that_cannot_be_read_stand_there_too(bench: Workbench):
    (bench.folder / "prices.csv").write_text("material,pack,price,currency\nwhiting,25 kg,cheap,EUR\n")
    (bench.folder / "firings.csv").write_text("recipe,result\nrill-clear,crazed\n")
    page = shown(bench.get("/").text).partition("Not read")[2]
    assert "prices.csv Line 2: " in page
    assert "firings.csv" in page
    assert "shelf.csv" not in page


def test_a_folder_that_is_gone_is_said(bench: Workbench):
    shutil.rmtree(bench.folder)
    answer = bench.get("/")
    assert answer.status == 404
    assert "The folder is gone" in shown(answer.text)


def test_a_file_in_the_place_of_a_folder_is_said(tmp_path: Path):
    (tmp_path / "recipes").write_text("whiting 1")
    page = shown(opened(tmp_path).get("/").text)
    assert "'recipes' cannot be looked into: Not a directory." in page


def test_more_cards_than_are_looked_into_are_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("glazecalc.workbench.folder._MOST_FILES", 2)
    (tmp_path / "recipes").mkdir()
    for name in "abc":
        (tmp_path / "recipes" / f"{name}.txt").write_text("whiting 1\nsilica 1\n")
    page = shown(opened(tmp_path).get("/").text)
    assert "c.txt the folder holds 3 files; from here on they are not looked into." in page


def test_names_that_are_hard_to_show(tmp_path: Path):
    recipes = tmp_path / "recipes"
    recipes.mkdir()
    card = "whiting 50\nsilica 50\n"
    odd = ["a b&c=d?e#f%.txt", "ünï 🏺.txt", "'\"<i>.txt", "back\\slash.txt", "plus+.txt", ";.txt"]
    try:
        for name in odd:
            (recipes / name).write_text(card)
        (recipes / "line\nend.txt").write_text(card)
        (recipes / "tilt\u202etxt.txt").write_text(card)
        (recipes / b"\xff\xfe.txt".decode("utf-8", "surrogateescape")).write_text(card)
    except (OSError, UnicodeError):
        pytest.skip("this file system does not take such names")
    bench = opened(tmp_path)
    page = bench.get("/").text
    links = re.findall(r'<h2><a href="([^"]*)">', page)
    assert len(links) == len(odd)
    for link in links:
        assert bench.get(link.replace("&#39;", "'")).status == 200
    assert shown(page).count("its name holds characters that no page can show") == 3


def test_the_picture_says_its_numbers(bench: Workbench):
    page = bench.get("/?q=harbour").text
    unity = gc.unity_formula(
        gc.read_recipe(bench.card("harbour-black.txt")), gc.load_materials(bench.folder / "materials")
    )
    assert f"SiO2 {unity['SiO2']:.2f}" in page
    assert re.findall(r'<text x="[\d.]+" y="39">(\w+)</text>', page) == ["Na", "K", "Mg", "Ca", "B", "Al", "Si"]
    calcia = re.search(r'class="ro" x="49.0" y="[\d.]+" width="8" height="([\d.]+)"', page)
    assert calcia is not None
    assert float(calcia[1]) == pytest.approx(30 * unity["CaO"], abs=0.1)


@given(
    st.lists(st.tuples(st.text("ab #", max_size=3), st.sampled_from(["\n", "\r\n", "\r"])), max_size=12),
    st.text("ab", max_size=3),
)
def test_line_ends_come_back_as_they_were(lines: list[tuple[str, str]], last: str):
    from glazecalc.workbench.line_ends import as_the_file_has_them, for_a_form

    text = "".join(line + end for line, end in lines) + last
    sent = for_a_form(text).replace("\n", "\r\n")
    assert as_the_file_has_them(sent, text) == text
    assert for_a_form(as_the_file_has_them(sent + "\r\nmore", text)) == for_a_form(text) + "\nmore"
