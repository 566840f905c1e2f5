"""Notices stand at the foot of the page itself and under `notices` in JSON, for every command; standard error is kept for errors."""

from __future__ import annotations

from pathlib import Path

import pytest

import glazecalc as gc
from tests.cli.run import run
from tests.cli.test_odd_words import CALLS

FIRINGS = "recipe,body,cone,result,seen\n{0},Slate,6,sound,yes\n"


@pytest.mark.parametrize("verb", CALLS)
def test_every_page_ends_in_its_notices(verb: str, capsys: pytest.CaptureFixture[str], tmp_path: Path, studio: Path):
    arguments, options = CALLS[verb]
    if verb == "calibrate":
        path = tmp_path / "firings.csv"
        path.write_text(FIRINGS.format(studio / "recipes" / "weir-celadon.txt"))
        arguments = [str(path)]
    page = run(capsys, verb, *arguments, *options)
    told = run(capsys, verb, *arguments, *options, "--json")
    assert (page.code, page.err) == (told.code, told.err) == (0, "")
    notices = told.json["notices"]
    assert all(set(notice) == {"code", "message"} for notice in notices)
    words, place = " ".join(page.out.split()), 0
    for notice in notices:
        place = words.index(f"note: {' '.join(notice['message'].split())}", place)
    foot = page.out.rstrip("\n").split("\n\n")[-1]
    assert foot.startswith("note: ") == bool(notices)
    assert foot.count("note: ") == len(notices)
    if verb not in (
        "materials",
        "cone",
        "size",
        "lab",
        "slurry",
    ):  # which read no recipe here, or nothing that asks for a word
        assert notices


def test_a_value_prints_the_same_foot(studio: Path, studio_library: gc.MaterialLibrary):
    report = gc.check(gc.read_recipe(studio / "recipes" / "rill-clear.txt"), studio_library)
    both = gc.compare(report.batch.recipe, gc.read_recipe(studio / "recipes" / "weir-celadon.txt"), studio_library)
    for value in (report, both):
        words = " ".join(str(value).split())
        assert value.notices
        assert all(" ".join(f"note: {notice.message}".split()) in words for notice in value.notices)
    assert any(notice.message.startswith("A and B: ") for notice in both.notices)


def test_a_sheet_that_is_written_keeps_its_notices(capsys: pytest.CaptureFixture[str], tmp_path: Path, studio: Path):
    recipe = str(studio / "recipes" / "weir-celadon.txt")
    for name in ("sheet.txt", "sheet.html"):
        file = tmp_path / name
        assert run(capsys, "scale", recipe, "--base", "300g", "--step", "1g", "--sheet", str(file)).code == 0
        assert "Red iron oxide 3.6 g (4 g, +11 %)" in " ".join(file.read_text(encoding="utf-8").split())
