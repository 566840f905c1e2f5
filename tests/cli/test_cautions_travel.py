"""A caution keeps code, severity and title wherever it travels, and lead its words."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.run import run

CLEAR = "Clear, cone 6\nPotash feldspar 40\nWhiting 18\nKaolin 12\nSilica 30\n"
KEYS = {"code", "title", "about", "severity", "message", "why", "do", "evidence", "source"}


@pytest.fixture
def clear(tmp_path: Path) -> str:
    path = tmp_path / "clear.txt"
    path.write_text(CLEAR, encoding="utf-8")
    return str(path)


def test_nudge_gives_the_cautions_whole_and_prints_their_titles(capsys, clear):
    words = ("nudge", clear, "MgO +0.1", "--also", "talc")
    found = run(capsys, *words, "--json").json["new_cautions"]
    assert "silicate-dust" in {caution["code"] for caution in found}
    page = run(capsys, *words).out
    for caution in found:
        assert set(caution) == KEYS
        assert f"New caution, {caution['severity']}: {caution['title']}." in page


def test_a_bag_of_ones_own_keeps_its_warnings_on_page_label_and_in_json(capsys, tmp_path: Path):
    (tmp_path / "bags").mkdir()
    for name, analysis in (
        ("Red bag", "PbO: 65, SiO2: 35"),
        ("White bag", "BaO: 77, loi: 22.3"),
        ("Odd bag", "MgO: 30, loi: 70"),
    ):
        text = f"name: {name}\nanalysis: {{{analysis}}}\nsource: {{title: the bag}}\n"
        (tmp_path / "bags" / f"{name.split()[0].lower()}.yaml").write_text(text, encoding="utf-8")
    recipe, label = tmp_path / "recipe.txt", tmp_path / "label.txt"
    recipe.write_text("Red bag 40\nWhite bag 20\nOdd bag 10\nSilica 30\n", encoding="utf-8")
    more = ("--materials", str(tmp_path / "bags"))
    report = run(capsys, "check", str(recipe), *more, "--json").json
    basis = {c["code"]: c["evidence"]["basis"] for c in report["cautions"] if c["about"] == "bench"}
    assert basis["lead-raw-material"] == {"Red bag": "composition"}
    assert basis["toxic-raw-material"] == {"White bag": "composition"}
    assert basis["silica-dust"] == {"Silica": "file"}
    assert [n["message"] for n in report["notices"] if n["code"] == "no-hazard-data"] == [
        "no hazard data here, get the safety data sheet: Odd bag."
    ]
    assert "from its composition: PbO 65 %" in " ".join(run(capsys, "check", str(recipe), *more).out.split())
    run(capsys, "scale", str(recipe), "--all-in", "1kg", "--label", str(label), *more)
    written = " ".join(label.read_text(encoding="utf-8").replace("|", " ").split())
    assert "Red bag (from its composition)" in written
    assert "get the safety data sheet: Odd bag" in written


def test_a_lead_frit_that_comes_in_is_said_in_full(capsys, clear):
    words = ("substitute", clear, "--without", "whiting", "--only", "lead bisilicate", "potash feldspar", "kaolin")
    (answer, *_) = run(capsys, *words, "--json").json["answers"]
    page = " ".join(run(capsys, *words).out.split())
    leads = [caution for caution in answer["new_cautions"] if "lead" in caution["code"]]
    assert len(leads) >= 3
    for caution in leads:
        assert f"New caution, {caution['severity']}: {' '.join(caution['message'].split())}" in page


def test_a_name_read_loosely_is_said_on_the_page(capsys, clear):
    for words in (
        ("substitute", clear, "--without", "whiting", "--also", "wollast"),
        ("nudge", clear, "SiO2 +0.1", "--also", "wollast"),
    ):
        assert "'wollast' is read as Wollastonite" in run(capsys, *words).out
