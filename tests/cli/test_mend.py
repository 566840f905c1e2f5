"""``glazecalc mend``: the contract of its JSON and what a potter may have written down."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.run import run

RECIPE = "Quay Black  cone 6 ox\npotash feldspar 30\nwollastonite 24\nwhiting 8\nkaolin 14\nsilica 22\n+ red iron oxide 8\n+ cobalt carbonate 2\n"
PARTS = {
    "potash_feldspar": 30,
    "wollastonite": 24,
    "whiting": 8,
    "kaolin": 14,
    "silica": 22,
    "red_iron_oxide": 8,
    "cobalt_carbonate": 2,
}


def _files(folder: Path, weighed: str) -> tuple[str, str, str]:
    (folder / "recipe.txt").write_text(RECIPE)
    (folder / "bucket.txt").write_text(weighed)
    return str(folder / "recipe.txt"), "--weighed", str(folder / "bucket.txt")


def test_json_contract(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    ran = run(
        capsys,
        "mend",
        *_files(tmp_path, "potash feldspar 600\nwollastonite 480\nwhiting 170\n"),
        "--all-in",
        "2.16kg",
        "--json",
    )
    assert ran.code == 0
    page = ran.json
    factor = 170 / 8  # whiting sets the size
    assert page["action"] == "add"
    assert page["dry_mass_g"] == pytest.approx(108 * factor)
    weighed = {"potash_feldspar": 600, "wollastonite": 480, "whiting": 170}
    added = {x["material"]: x["mass_g"] for x in page["add"]}
    assert "whiting" not in added
    for material, parts in PARTS.items():
        assert weighed.get(material, 0) + added.get(material, 0) == pytest.approx(parts * factor)
    assert (page["step_g"], page["step_from"]) == (5, "weights")
    assert "read as grams" in " ".join(ran.out.split())


def test_units_twice_and_short_names(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    weighed = "feldspar 600 g\nkaolin 0.28 kg\nkaolin 280 g\n"
    ran = run(capsys, "mend", *_files(tmp_path, weighed), "--all-in", "4000g", "--json")
    assert ran.code == 0
    assert ran.json["dry_mass_g"] == pytest.approx(560 / 14 * 108)
    assert "twice" in " ".join(ran.out.split())


@pytest.mark.parametrize("words", [("--step", "5g"), ()])
def test_what_scale_printed_is_on_recipe(capsys: pytest.CaptureFixture[str], tmp_path: Path, words: tuple[str, ...]):
    (tmp_path / "recipe.txt").write_text(RECIPE)
    page = run(capsys, "scale", str(tmp_path / "recipe.txt"), "--all-in", "1.7kg", "--step", "5g").out
    lines = re.findall(r"\[ \][ +]  (.+?) {2,}([\d.]+)", page)
    weighed = "".join(f"{name} {grams}\n" for name, grams in lines)
    assert len(lines) == 7
    for planned in (("--all-in", "1.7kg"), ()):
        ran = run(capsys, "mend", *_files(tmp_path, weighed), *planned, *words, "--json")
        assert (ran.json["action"], ran.json["add"]) == ("on-recipe", [])
        assert ran.json["step_from"] == ("given" if words else "weights")
    shown = run(capsys, "mend", *_files(tmp_path, weighed), *words).out.splitlines()
    assert shown[1] == "On recipe: nothing to add."


def test_planned_base(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    ran = run(capsys, "mend", *_files(tmp_path, "potash feldspar 600\n"), "--base", "1960g", "--json")
    assert ran.json["dry_mass_g"] == pytest.approx(2160)
    assert ran.json["action"] == "add"


def test_foreign_material(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    ran = run(capsys, "mend", *_files(tmp_path, "potash feldspar 600\ntalc 20\n"), "--all-in", "2160g", "--json")
    assert (ran.code, ran.json["add"], ran.json["dry_mass_g"]) == (0, [], None)
    assert ran.json["foreign"] == [{"material": "talc", "name": "Talc", "mass_g": 20}]
    assert "Talc" in ran.json["advice"]


def test_used(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    weighed = "potash feldspar 300\nwollastonite 240\nwhiting 80\nkaolin 140\nsilica 220\nred iron oxide 80\n"
    for used in ("265g", "25%"):
        ran = run(capsys, "mend", *_files(tmp_path, weighed), "--all-in", "1080g", "--used", used, "--json")
        assert [(x["material"], round(x["mass_g"], 6)) for x in ran.json["add"]] == [("cobalt_carbonate", 15.0)]
        assert ran.json["dry_mass_g"] == pytest.approx(810)


def test_page_and_printed_sum(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    ran = run(
        capsys, "mend", *_files(tmp_path, "potash feldspar 607.3\nkaolin 301\n"), "--all-in", "2.16kg", "--step", "0.1g"
    )
    assert ran.code == 0
    assert all(len(line) <= 100 for line in ran.out.splitlines())
    assert "over" in ran.out


@pytest.mark.parametrize(
    ("weighed", "words", "code", "said"),
    [
        ("potash feldspar 10 %\nkaolin 5 %\n", (), 1, "a weight was expected"),
        ("potash feldspat 600\nmud 3\n", (), 1, "mud"),
        ("", (), 1, ""),
        ("potash feldspar 600\n", ("--all-in", "2kg", "--base", "2kg"), 2, "once"),
        ("potash feldspar 600\n", ("--all-in", "2"), 2, "no unit"),
        ("potash feldspar 600\n", ("--used", "700g"), 1, "went in"),
        ("potash feldspar 600\n", ("--used", "100%"), 1, "went in"),
        ("potash feldspar 600\n", ("--used", "half"), 2, "--used"),
    ],
)
def test_refused_with_the_mend(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, weighed: str, words: tuple[str, ...], code: int, said: str
):
    ran = run(capsys, "mend", *_files(tmp_path, weighed), *words)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err
    assert "Traceback" not in ran.err
