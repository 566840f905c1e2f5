"""The page of `check`: eight short answers, nothing cut, sixty lines; on the studio's recipes and thirteen ordinary glazes."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

import glazecalc as gc
from glazecalc.files.materials import load_materials
from glazecalc.show import pages
from tests.thirteen import THIRTEEN, thirteen

STUDIO = Path(__file__).parents[2] / "notebooks" / "studio"
RECIPES = {path.stem: path for path in sorted((STUDIO / "recipes").glob("*.txt"))}
LEAD = {"lead bisilicate frit": 80, "kaolin": 20, "copper carbonate": 3}
EIGHT = ["melt", "run", "surface", "fit", "coat", "wear", "food", "bench"]


@cache
def report(name: str) -> gc.CheckReport:
    recipe = gc.read_recipe(RECIPES[name]) if name in RECIPES else thirteen(name)
    return gc.check(recipe, load_materials(str(STUDIO / "materials")))


def blocks(page: str) -> dict[str, list[list[str]]]:
    """Return the entries of the blocks with a label in front of each: what hangs below a label belongs to it."""
    found: dict[str, list[list[str]]] = {}
    head = ""
    for line in page.splitlines():
        if re.match(r"[A-Z]{2}", line):
            head = " ".join(re.findall(r"^(?:[A-Z]+ ?)+\b", line)).strip()
            found[head] = []
        elif not line:
            head = ""
        elif re.match(r"  \w", line) and head:
            found[head].append([line])
        elif line.startswith("   ") and head and found[head]:
            found[head][-1].append(line)
    return found


@pytest.mark.parametrize("full", [False, True], ids=["page", "full"])
@pytest.mark.parametrize("name", [*RECIPES, *THIRTEEN])
def test_no_line_is_longer_than_a_screen_and_none_is_cut(name: str, full: bool):
    lines = pages.page(report(name), full=full).splitlines()
    assert max(map(len, lines)) <= 100
    assert not [line for line in lines if re.search(r"\.\.\.|\u2026", line)]


@pytest.mark.parametrize("name", [*RECIPES, *THIRTEEN])
def test_the_page_fits_sixty_lines_and_opens_with_eight_answers_of_two(name: str):
    page = str(report(name))
    assert len(page.splitlines()) <= 60
    found = blocks(page)
    heads = list(found)
    assert heads.index("RECIPE") < heads.index("IN SHORT") < heads.index("UNITY FORMULA") < heads.index("LOOK AT")
    answers = found["IN SHORT"]
    assert [answer[0].split()[0] for answer in answers] == EIGHT
    assert max(map(len, answers)) <= 2
    for answer, reading in zip(answers, report(name).readings, strict=True):
        assert " ".join(" ".join(answer).split()) == f"{reading.about} {reading.short}"


@pytest.mark.parametrize("name", [*RECIPES, *THIRTEEN])
def test_a_caution_takes_two_lines_and_what_is_to_know_one(name: str):
    cautions = [caution for caution in report(name).cautions if not caution.full_only]
    entries = blocks(str(report(name)))["LOOK AT"]
    words = [" ".join(" ".join(entry).split()) for entry in entries]
    counted = [re.match(r"(look|know) (\d+) more ", text) for text in words]
    told = [text for text, more in zip(words, counted, strict=True) if not more]
    assert max(map(len, entries)) <= 2
    assert sum(int(more[2]) for more in counted if more) + len(told) == len({c.title for c in cautions})
    assert [len(entry) for entry, more in zip(entries, counted, strict=True) if more and more[1] == "know"] == [1]
    for text, caution in zip(told, cautions, strict=False):
        assert text == f"{caution.severity} {caution.about} {caution.message}"
    assert not [c for c in cautions if str(c.severity) == "stop" and c.message not in " ".join(told)]


@pytest.mark.parametrize("name", [*RECIPES, *THIRTEEN])
def test_full_tells_every_caution_and_every_answer_whole(name: str):
    found, page = report(name), " ".join(pages.page(report(name), full=True).split())
    for caution in found.cautions:
        for text in (caution.message, caution.why, f"Do: {caution.do}", f"Source: {caution.source}"):
            assert " ".join(text.split()) in page
        assert f"[{caution.code}]" in page
    for reading in found.readings:
        for text in (reading.says, reading.because, reading.do, f"Source: {reading.source}"):
            assert " ".join(text.split()) in page


@pytest.mark.parametrize("use", ["plate", "not-for-food"])
def test_lead_and_cadmium_are_never_counted_with_others(use):
    library = load_materials(str(STUDIO / "materials"))
    found = gc.check(LEAD, library, cone="04", use=use)
    page = " ".join(str(found).split())
    leads = [caution for caution in found.cautions if caution.never_folded]
    assert len(leads) >= 4
    for caution in leads:
        assert f"{caution.severity} {caution.about} {' '.join(caution.message.split())}" in page
    assert "food Lead stands in it (52.3 % PbO fired). Cadmium: in no analysis, which is no test." in page
