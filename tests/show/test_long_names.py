"""No page cuts a name, whatever its length, and no line is longer than the screen."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.run import run

FORMULAS = {
    "feldspar": ("feldspar", "K2O.Al2O3.6SiO2"),
    "soda": ("feldspar", "Na2O.Al2O3.6SiO2"),
    "chalk": ("alkaline_earth", "CaCO3"),
    "clay": ("clay", "Al2Si2O5(OH)4"),
    "sand": ("silica", "SiO2"),
    "cobalt": ("colourant", "CoO"),
}


def long_name(word: str) -> str:
    """Return a name of 90 characters or more, every word of it its own."""
    numbered = " ".join(
        f"{word}{place}" for place in ("quarry", "washed", "ground", "bagged", "milled", "sieved", "tested")
    )
    return f"{word.capitalize()}, {numbered} and sold by the {word}merchant"


@pytest.fixture
def made_up(tmp_path: Path) -> Path:
    folder = tmp_path / "materials"
    folder.mkdir()
    for word, (kind, formula) in FORMULAS.items():
        lines = [
            f"id: long_{word}",
            f"name: {long_name(word)}",
            f"kind: {kind}",
            f"formula: {formula}",
            "source:",
            "  title: made up",
        ]
        (folder / f"long_{word}.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    for name, amounts in (("first", (40, 18, 12, 30)), ("second", (30, 25, 15, 30))):
        rows = [f"long_{word} {n}" for word, n in zip(("feldspar", "chalk", "clay", "sand"), amounts, strict=True)]
        text = "\n".join([long_name(name), *rows, "+ long_cobalt 1"]) + "\n"
        (tmp_path / f"{name}.txt").write_text(text, encoding="utf-8")
    shelf = [f"long_{word},900 g,25 kg,40,EUR" for word in FORMULAS]
    (tmp_path / "shelf.csv").write_text(
        "\n".join(["material,stock,pack,price,currency", *shelf]) + "\n", encoding="utf-8"
    )
    (tmp_path / "firings.csv").write_text(
        f"recipe,body,cone,result,note\nfirst.txt,Slate,6,sound,{long_name('remark')}\n".replace("Remark, ", "Remark "),
        encoding="utf-8",
    )
    return tmp_path


CALLS = {
    "check": ["check", "first.txt"],
    "check --full": ["check", "first.txt", "--full"],
    "check --working": ["check", "first.txt", "--working"],
    "check --tests": ["check", "first.txt", "--tests"],
    "check --spread": ["check", "first.txt", "--spread"],
    "compare": ["compare", "first.txt", "second.txt"],
    "materials": ["materials"],
    "materials NAME": ["materials", "long_feldspar"],
    "substitute": ["substitute", "first.txt", "--without", "long_feldspar", "--also", "long_soda"],
    "match": ["match", "first.txt"],
    "nudge": ["nudge", "first.txt", "SiO2 +0.1"],
    "blend": ["blend", "first.txt", "second.txt", "--sg", "1.45", "--sg", "1.5", "--solids-density", "2.6"],
    "blend --rise": ["blend", "first.txt", "--rise", "long_cobalt=0..2", "--side", "3"],
    "scale": ["scale", "first.txt", "--all-in", "5kg", "--step", "1g"],
    "cost": ["cost", "first.txt", "--all-in", "5kg", "--prices", "shelf.csv", "--stock", "shelf.csv"],
    "mend": ["mend", "first.txt", "--all-in", "101g", "--weighed", "second.txt"],
    "slurry": [
        "slurry",
        "first.txt",
        "--sg-now",
        "1.4",
        "--volume",
        "5l",
        "--to",
        "6l",
        "--sg",
        "1.5",
        "--solids-density",
        "2.6",
    ],
    "calibrate": ["calibrate", "firings.csv", "--place", "second.txt"],
}


@pytest.mark.parametrize("call", CALLS)
def test_every_word_of_a_name_is_on_the_page(
    capsys: pytest.CaptureFixture[str], made_up: Path, monkeypatch: pytest.MonkeyPatch, call: str
):
    monkeypatch.chdir(made_up)
    ran = run(capsys, *CALLS[call], "--materials", "materials")
    assert ran.code == 0, ran.err
    assert max(map(len, ran.out.splitlines())) <= 100
    # the short cautions of a check end in "..." where --full has more
    page = ran.out if "--full" in call else re.split(r"^(?:LOOK AT|CAUTIONS)", ran.out, flags=re.M)[0]
    begun = [
        word for word in (*FORMULAS, "first", "second", "remark") if re.search(rf"\b{word}quarry\b", ran.out, re.I)
    ]
    assert begun
    for word in begun:
        for whole in re.findall(r"\w+", long_name(word)):
            assert re.search(rf"\b{whole}\b", page, re.I), whole
        assert len(re.findall(rf"\b{word}quarry\b", page)) == len(re.findall(rf"\b{word}merchant\b", page))
