"""``glazecalc blend`` at the shell: plan, CSV, JSON, exit codes."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tests.cli.run import run

CLEAR = "Clear\nPotash feldspar 40\nWhiting 18\nKaolin 12\nSilica 30\n"
BLACK = "Black\nPotash feldspar 33\nWhiting 22\nKaolin 15\nSilica 30\n+ Red iron oxide 8\n"
MATT = "Matt, dolomite\nSoda feldspar 30\nDolomite 20\nKaolin 25\nSilica 25\n"


@pytest.fixture
def files(tmp_path: Path) -> list[str]:
    paths = []
    for name, text in (("clear", CLEAR), ("black", BLACK), ("matt", MATT)):
        path = tmp_path / f"{name}.txt"
        path.write_text(text, encoding="utf-8")
        paths.append(str(path))
    return paths


def test_the_page_of_a_line(capsys, files):
    ran = run(capsys, "blend", *files[:2], "--side", "5", "--sg", "1.45", "--sg", "1.55", "--solids-density", "2.6")
    assert ran.code == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 100
    for words in ("Line blend: Clear / Black", "75-25", "ml", "Weighing each tile", "softens"):
        assert words in ran.out
    assert "45:55" in " ".join(ran.out.split())


def test_the_table_for_a_sheet(capsys, files, tmp_path):
    target = tmp_path / "plan.csv"
    ran = run(capsys, "blend", *files, "--side", "4", "--csv", str(target))
    assert ran.code == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 100
    rows = list(csv.DictReader(target.open(encoding="utf-8")))
    assert [row["tile"] for row in rows] == [str(n) for n in range(1, 11)]
    for row in rows:
        total = sum(float(value) for key, value in row.items() if key.endswith(" g") and not key.endswith("dry g"))
        assert total == pytest.approx(100, abs=0.4)  # each of up to eight lines is rounded to 0.1 g
    assert "Matt, dolomite share %" in rows[0]


def test_json(capsys, files):
    ran = run(capsys, "blend", files[0], "--rise", "cobalt carbonate=0..2", "--side", "3", "--tile", "50g", "--json")
    assert ran.code == 0
    assert ran.json["kind"] == "rising"
    assert [tile["number"] for tile in ran.json["tiles"]] == [1, 2, 3]
    for tile in ran.json["tiles"]:
        assert set(tile) >= {"lines", "unity", "estimates", "cautions", "shares"}
    assert ran.json["tiles"][2]["lines"][-1]["mass_g"] == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ([], 1, "two recipes"),
        (["--rise", "cobalt"], 2, "--rise"),
        (["--side", "1"], 2, "side"),
        (["--tile", "big"], 2, "tile"),
        (["--rise", "moondust=0..2"], 1, "moondust"),
    ],
)
def test_bad_calls(capsys, files, words, code, said):
    ran = run(capsys, "blend", files[0], *words)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err


def test_a_folder_that_is_not_there_leaves_no_output(capsys, files, tmp_path):
    ran = run(capsys, "blend", *files[:2], "--csv", str(tmp_path / "none" / "plan.csv"))
    assert (ran.code, ran.out) == (1, "")


def test_a_caution_keeps_its_severity_and_lead_its_words(capsys, files, tmp_path):
    honey = tmp_path / "honey.txt"
    honey.write_text("Old Honey\nlead bisilicate 60\nkaolin 15\nsilica 25\n", encoding="utf-8")
    ran = run(capsys, "blend", str(honey), files[0], "--side", "3")
    cautions = " ".join(ran.out[ran.out.index("Cautions") :].split())
    assert "tile 1, stop: Lead:" in cautions
    assert "children first" in cautions
    for found in run(capsys, "blend", str(honey), files[0], "--side", "3", "--json").json["tiles"][1]["cautions"]:
        words = f"{found['severity']}: {found['message'] if 'lead' in found['code'] else found['title'] + '.'}"
        assert words in cautions
