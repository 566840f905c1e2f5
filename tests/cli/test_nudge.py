"""``glazecalc nudge`` at the shell."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.run import run


@pytest.fixture
def clear(tmp_path: Path) -> str:
    path = tmp_path / "clear.txt"
    path.write_text(
        "Clear, cone 6\nPotash feldspar 40\nWhiting 18\nKaolin 12\nSilica 30\n+ Zircon 6\n", encoding="utf-8"
    )
    return str(path)


def test_the_page(capsys, clear):
    ran = run(capsys, "nudge", clear, "expansion down 0.3, ratio kept")
    assert ran.code == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 100
    for words in ("met", "What else moves", "Expansion, fitted", "side by"):
        assert words in ran.out


def test_json(capsys, clear):
    ran = run(capsys, "nudge", clear, "alumina +0.05", "--json")
    assert ran.code == 0
    assert ran.json["met"] is True
    assert ran.json["change"]["Al2O3"] == pytest.approx(0.05, abs=1e-6)
    assert {line["material"] for line in ran.json["lines"]} >= {"kaolin", "zircon"}
    assert next(line["parts"] for line in ran.json["lines"] if line["material"] == "zircon") == 6


def test_a_wish_out_of_reach_is_exit_0(capsys, clear):
    ran = run(capsys, "nudge", clear, "B2O3 +0.2", "--json")
    assert (ran.code, ran.json["met"]) == (0, False)
    assert "not met" in " ".join(ran.out.split())


@pytest.mark.parametrize(
    ("words", "code"),
    [(["make it nice"], 1), ([], 2), (["MgO +0.1", "--model", "odd"], 2), (["MgO +0.1", "--also", "moondust"], 1)],
)
def test_bad_calls(capsys, clear, words, code):
    ran = run(capsys, "nudge", clear, *words)
    assert (ran.code, ran.out) == (code, "")
    assert ran.err
