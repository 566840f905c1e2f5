"""``glazecalc match`` at the shell: contract keys, targets of every kind, faults by line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.run import run

ONLY = ("--only", "potash_feldspar_ideal", "--only", "whiting", "--only", "kaolin", "--only", "silica")


def write(folder: Path, text: str, name: str = "target.yaml") -> str:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_the_contract(capsys, tmp_path):
    target = write(tmp_path, "unity:\n  K2O: 0.3\n  CaO: 0.7\n  Al2O3: 0.5\n  SiO2: 4\n")
    ran = run(capsys, "match", target, *ONLY, "--json")
    assert ran.code == 0
    (answer,) = ran.json["answers"]
    found = {line["material"]: line["parts"] for line in answer["lines"]}
    # the classic lime porcelain, worked by hand from formula weights
    assert found == pytest.approx(
        {"potash_feldspar_ideal": 42.08, "whiting": 17.65, "kaolin": 13.01, "silica": 27.25}, abs=0.01
    )
    assert answer["total"] == pytest.approx(100)
    assert ran.json["unmet"] == []


def test_ranges_ratios_and_colourants(capsys, tmp_path):
    text = "name: Test\nunity:\n  KNaO: 0.3\n  CaO: 0.6..0.7\n  Al2O3: [0.4, 0.5]\n  SiO2: 3.2..3.6\n  SiO2:Al2O3: 8\ncolourants:\n  red iron oxide: 9\n"
    ran = run(capsys, "match", write(tmp_path, text), *ONLY, "--json")
    answer = ran.json["answers"][0]
    assert answer["unity"]["SiO2"] / answer["unity"]["Al2O3"] == pytest.approx(8, rel=1e-6)
    assert 3.2 - 1e-6 <= answer["unity"]["SiO2"] <= 3.6 + 1e-6
    assert next(line["parts"] for line in answer["lines"] if line["role"] == "addition") == pytest.approx(9)


def test_a_fired_analysis_and_a_recipe(capsys, tmp_path):
    analysis = write(tmp_path, "fired_analysis_percent:\n  K2O: 8.1\n  CaO: 11.2\n  Al2O3: 14.6\n  SiO2: 66.1\n")
    ran = run(capsys, "match", analysis, *ONLY, "--json")
    assert ran.code == 0
    assert ran.json["answers"][0]["score"] < 0.001
    recipe = write(tmp_path, "Clear\nPotash feldspar, ideal 42\nWhiting 18\nKaolin 13\nSilica 27\n", "clear.txt")
    ran = run(capsys, "match", recipe, *ONLY, "--json")
    found = {line["material"]: line["parts"] for line in ran.json["answers"][0]["lines"]}
    assert found == pytest.approx({"potash_feldspar_ideal": 42, "whiting": 18, "kaolin": 13, "silica": 27}, rel=1e-5)


def test_out_of_reach_is_exit_0(capsys, tmp_path):
    target = write(tmp_path, "unity: {K2O: 0.3, CaO: 0.4, MgO: 0.3, Al2O3: 0.5, SiO2: 4, B2O3: 0.2}\n")
    ran = run(capsys, "match", target, *ONLY, "--json")
    assert ran.code == 0
    unmet = {entry["oxide"]: entry for entry in ran.json["unmet"]}
    assert unmet["B2O3"]["shortfall"] == pytest.approx(0.2)
    assert "none of the materials" in unmet["MgO"]["why"]


def test_the_page(capsys, tmp_path):
    ran = run(capsys, "match", write(tmp_path, "name: Lime\nunity: {K2O: 0.3, CaO: 0.7, Al2O3: 0.5, SiO2: 4}\n"))
    assert ran.code == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 100
    assert "Lime, matched" in ran.out
    assert "Answer 1 of" in ran.out


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("unity:\n  K2O: 0.3\n  Ca0: 0.7\n", ":3: 'Ca0'"),
        ("unity:\n  K2O: 0.3\n  CaO: 0.3\n", "add to 0.6"),
        ("unity:\n  K2O: lots\n", ":2:"),
        ("unity: 4\n", "mapping"),
        ("unity: {CaO: {low: 1}}\n", "a mapping was found"),
        ("unity: {CaO: [1]}\n", "neither a number nor a range"),
        ("unity: {CaO: .inf}\n", "CaO is inf"),
        ("unity: {}\n", "names no oxide"),
        ("unity: {CaO: 1}\ntotal: -1\n", "total"),
        ("unity: {CaO: 1}\nglow: yes\n", "glow"),
        ("unity: {CaO: 1}\nfired_analysis_percent: {CaO: 20, SiO2: 80}\n", "not both"),
        ("fired_analysis_percent: {SiO2: 100}\n", "no flux"),
    ],
)
def test_faults_are_named_by_line(capsys, tmp_path, text, said):
    ran = run(capsys, "match", write(tmp_path, text))
    assert (ran.code, ran.out) == (1, "")
    assert said in ran.err
    assert "target.yaml" in ran.err
