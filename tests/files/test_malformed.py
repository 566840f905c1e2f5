"""Broken recipe and material files: each gives exit 1, one clear message with the file (and line), and no traceback."""

from __future__ import annotations

import contextlib
from pathlib import Path

import pytest

from glazecalc.errors import GlazeError
from glazecalc.files.recipe_text import parse_recipe_text
from glazecalc.units import parse_quantity
from tests.cli.run import run
from tests.work import work_of_at_most

GOOD_MATERIAL = "id: q\nname: Q\nanalysis: {SiO2: 99}\nloi_percent: 1\nsource: {title: t}\n"

# name -> (file name, content, a piece of the message, line or None)
RECIPES: dict[str, tuple[str, bytes, str, int | None]] = {
    "empty": ("r.txt", b"", "no ingredients", None),
    "only comments": ("r.txt", b"# nothing\n\n", "no ingredients", None),
    "only a title": ("r.txt", b"Harbour Black\n", "no ingredients", None),
    "thousands comma": ("r.txt", b"T\nwhiting 1,500\n", "1500 or 1.500", 2),
    "european thousands": ("r.txt", b"T\nwhiting 1.234,5\n", "not a number", 2),
    "numbers at both ends": ("r.txt", b"T\n5 borax 10\n", "both ends", 2),
    "negative": ("r.txt", b"T\nwhiting -5\n", "negative", 2),
    "negative in front": ("r.txt", b"T\n-5 whiting\n", "negative", 2),
    "nan": ("r.txt", b"T\nwhiting nan\n", "not one number", 2),
    "infinity": ("r.txt", b"T\nwhiting inf\n", "not one number", 2),
    "exponent": ("r.txt", b"T\nwhiting 1e309\n", "not one number", 2),
    "huge": ("r.txt", b"T\nwhiting " + b"9" * 39 + b"\n", "too large", 2),
    "very long number": ("r.txt", b"T\nwhiting " + b"9" * 100 + b"\n", "too long", 2),
    "very long line": ("r.txt", b"T\n" + b"w" * 5000 + b" 5\n", "too long", 2),
    "no amount": ("r.txt", b"T\nwhiting 5\nbentonite\n", "no amount", 3),
    "unknown use": ("r.txt", b"T\nwhiting 5\nuse: vase\n", "not a use of the ware", 3),
    "unknown use in yaml": ("r.yaml", b"name: T\nuse: vase\nbase: {whiting: 5}\n", "not a use of the ware", 2),
    "vague amount": ("r.txt", b"T\nsome bentonite\n", "no amount", 2),
    "trace": ("r.txt", b"T\nbentonite tr\n", "not one number", 2),
    "range": ("r.txt", b"T\nbentonite 10-12\n", "not one number", 2),
    "about": ("r.txt", b"T\nbentonite ~5\n", "not one number", 2),
    "division by zero": ("r.txt", b"T\nbentonite 5/0\n", "divides by zero", 2),
    "unknown unit": ("r.txt", b"T\nwhiting 12 cups\n", "no amount", 2),
    "number alone": ("r.txt", b"T\n12\n", "no amount", 2),
    "two amounts without name": ("r.txt", b"T\n12 oz 3 lb\n", "no material name", 2),
    "a number for a name": ("r.txt", "T\n1½ 12\n".encode(), "no material name", 2),
    "several amounts": ("r.txt", b"T\nwhiting 5 g 3 g\n", "several amounts", 2),
    "a ton of which": ("r.txt", b"T\nwhiting 2 tons\n", "metric, a US short or a UK long", 2),
    "addition without name": ("r.txt", b"T\nwhiting 5\n+ 5\n", "no amount", 3),
    "unknown material": ("r.txt", b"T\nwhitng 12\n", "Did you mean 'Whiting'", 2),
    "ambiguous iron": ("r.txt", b"T\nwhiting 12\niron 8\n", "fits several", 3),
    "ambiguous spar": ("r.txt", b"T\nspar 30\n", "fits several", 2),
    "units mixed": ("r.txt", b"T\nwhiting 5 g\nsilica 3\n", "some have none", None),
    "base in percent and weights": ("r.txt", b"T\nwhiting 5 g\nsilica 3 %\n", "mixes", None),
    "total wrong": ("r.txt", b"T\nwhiting 50\nsilica 40\ntotal 100\n", "base adds to 90", 4),
    "total without number": ("r.txt", b"T\nwhiting 50\ntotal\n", "no amount", 3),
    "two cones": ("r.txt", b"T\nwhiting 5\ncone 6\ncone 04\n", "given twice", 4),
    "cones from hard to soft": ("r.txt", b"T cone 10-9\nwhiting 5\n", "Write '9-10'", 1),
    "a number that is no cone": ("r.txt", b"T\ncone: 1240\nwhiting 5\n", "1240 C or 1240 F", 2),
    "a temperature of no firing": ("r.yaml", b"name: T\ncone: 20 C\nbase: {whiting: 5}\n", "500 to 1600 C", 2),
    "cone and temperature": ("r.txt", b"T\ncone: 6 (1222 C)\nwhiting 5\n", "Give one", 2),
    "two atmospheres": (
        "r.yaml",
        b"cone: 10R\natmosphere: ox\nbase: {whiting: 5}\n",
        "says reduction and 'atmosphere' oxidation",
        1,
    ),
    "two atmospheres in text": ("r.txt", b"T cone 10R\natmosphere: ox\nwhiting 5\n", "reduction and oxidation", 2),
    "a cooling that is none": ("r.txt", b"T\ncooling: warm\nwhiting 5\n", "no cooling that can be read", 2),
    "a hold without a unit": (
        "r.yaml",
        b"name: T\ncooling: held at 1050 for 2 h\nbase: {whiting: 5}\n",
        "held at 1050 C for 2 h",
        2,
    ),
    "no such cone": ("r.txt", b"T\nwhiting 5\ncone 77\n", "cone", 3),
    "all zero": ("r.txt", b"T\nwhiting 0\nsilica 0\n", "all amounts", None),
    "only additions": ("r.txt", b"T\n+ whiting 5\n", "no base", None),
    "all organic": ("r.txt", b"T\ngum arabic 0\ncmc gum 0\n", "all amounts", None),
    "binary": ("r.txt", bytes(range(128, 256)) * 4, "UTF-8", 1),
    "nul bytes": ("r.txt", b"T\nwhiting\x00 5\n", "control character", 2),
    "latin-1": ("r.txt", "T\nKaolin g\u00e4nsehaut 5\n".encode("latin-1"), "UTF-8", 2),
    "utf-16": ("r.txt", "T\nwhiting 5\n".encode("utf-16"), "UTF-16", 1),
    "ten megabytes": ("r.txt", b"whiting 5\n" * 1_000_000, "larger than", None),
    "too many lines": ("r.txt", b"whiting 5\n" * 2500, "more than 2000 lines", None),
    "several faults at once": ("r.txt", b"T\nwhiting x\nsilica -3\n", "silica -3", 2),
    "spreadsheet": ("r.xlsx", b"PK", "not read", None),
    "csv no header": ("r.csv", b"whiting,5\n", "not a column", 1),
    "csv text amount": ("r.csv", b"material,amount\nwhiting,lots\n", "not a number", 2),
    "csv comma shift": ("r.csv", b"material,amount\nwhiting,1,5\n", "3 fields", 2),
    "csv thousands": ("r.csv", b"material;amount\nwhiting;1,500\n", "1500 or 1.500", 2),
    "csv bad role": ("r.csv", b"material,amount,role\nwhiting,5,top\n", "role", 2),
    "csv bad unit": ("r.csv", b"material,amount,unit\nwhiting,5,cups\n", "unit", 2),
    "csv missing amount": ("r.csv", b"material,amount\nwhiting,\n", "missing", 2),
    "csv totals row": ("r.csv", b"material,amount\nwhiting,5\nTotal,5\n", "totals row", 3),
    "csv negative": ("r.csv", b"material,amount\nwhiting,-5\n", "negative", 2),
    "csv open quote": ("r.csv", b'material,amount\n"whiting,5\n', "CSV", None),
    "csv column twice": ("r.csv", b"material,amount,amount\nwhiting,5,6\n", "twice", 1),
    "csv empty": ("r.csv", b"\n\n", "empty", None),
    "yaml broken": ("r.yaml", b"base: {whiting: 5\n", "YAML", None),
    "yaml list at top": ("r.yaml", b"- whiting\n", "mapping", 1),
    "yaml unknown field": ("r.yaml", b"name: T\nbsae: {whiting: 5}\n", "Did you mean 'base'", 2),
    "yaml duplicate key": ("r.yaml", b"base:\n  whiting: 5\n  whiting: 6\n", "is there twice", 3),
    "yaml nan": ("r.yaml", b"base:\n  whiting: .nan\n", "finite", 2),
    "yaml inf": ("r.yaml", b"base:\n  whiting: .inf\n", "finite", 2),
    "yaml text amount": ("r.yaml", b"base:\n  whiting: lots\n", "number", 2),
    "yaml comma": ("r.yaml", b"base:\n  whiting: 1,5\n", "decimal point", 2),
    "yaml bool": ("r.yaml", b"base:\n  whiting: true\n", "number", 2),
    "yaml negative": ("r.yaml", b"base:\n  whiting: -1\n", "0 to 1e+12", 2),
    "yaml huge": ("r.yaml", b"base:\n  whiting: 1e400\n", "finite", 2),
    "yaml deep": ("r.yaml", b"[" * 500, "deeper", 1),
    "yaml deep dashes": ("r.yaml", b"- " * 5000 + b"a", "deeper", 1),
    "yaml alias bomb": ("r.yaml", b"a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n", "repeats a list", 2),
    "yaml many aliases": ("r.yaml", b"notes:\n- &a x\n" + b"- *a\n" * 50, "aliases", None),
    "yaml tag": ("r.yaml", b"name: !!python/object:os.system x\n", "tag", 1),
    "yaml two documents": ("r.yaml", b"name: a\n---\nname: b\n", "second YAML document", None),
    "yaml empty": ("r.yaml", b"", "empty", None),
    "yaml base is text": ("r.yaml", b"base: whiting 5\n", "mapping", 1),
    "yaml bad unit": ("r.yaml", b"base:\n- {material: whiting, amount: 5, unit: cups}\n", "unit", 2),
    "yaml no material": ("r.yaml", b"base:\n- {amount: 5}\n", "material", 2),
    "yaml no amount": ("r.yaml", b"base:\n- {material: whiting}\n", "number", 2),
    "yaml cone": ("r.yaml", b"cone: 99\nbase: {whiting: 5}\n", "cone", 1),
    "yaml key is a list": ("r.yaml", b"? [a]\n: 5\n", "cannot be a key", 1),
}

MATERIALS: dict[str, tuple[bytes, str, int | None]] = {
    "no source": (b"id: q\nname: Q\nformula: SiO2\n", "'source' is missing", 1),
    "no title": (b"id: q\nname: Q\nformula: SiO2\nsource: {year: 1990}\n", "'source: title' is not filled in", 4),
    "a source that says nothing": (
        b"id: q\nname: Q\nformula: SiO2\nsource: {}\n",
        "'source: title' is not filled in",
        4,
    ),
    "no name": (b"id: q\nformula: SiO2\nsource: {title: t}\n", "'name' is missing", 1),
    "no chemistry": (b"id: q\nname: Q\nsource: {title: t}\n", "'formula' or 'analysis'", 1),
    "both": (
        b"id: q\nname: Q\nformula: SiO2\nanalysis: {SiO2: 99}\nloi_percent: 0\nsource: {title: t}\n",
        "not both",
        3,
    ),
    "bad formula": (b"id: q\nname: Q\nformula: Al2Si2O5(OH\nsource: {title: t}\n", "bracket open", 3),
    "element off the axis": (
        b"id: q\nname: Q\nformula: As2O3\nsource: {title: t}\n",
        "no oxide that this program knows",
        3,
    ),
    "unknown oxide": (b"id: q\nname: Q\nanalysis:\n  SiO: 50\nsource: {title: t}\n", "Did you mean 'SiO2'", 4),
    "lumped alkalis": (b"id: q\nname: Q\nanalysis:\n  KNaO: 10\n  SiO2: 90\nsource: {title: t}\n", "how much", 4),
    "manganese dioxide": (
        b"id: q\nname: Q\nanalysis:\n  MnO2: 10\n  SiO2: 90\nsource: {title: t}\n",
        "Report it as MnO",
        4,
    ),
    "negative oxide": (b"id: q\nname: Q\nanalysis:\n  SiO2: -5\nsource: {title: t}\n", "0 to 100.5", 4),
    "oxide over 100": (b"id: q\nname: Q\nanalysis:\n  SiO2: 400\nsource: {title: t}\n", "0 to 100.5", 4),
    "adds to 180": (b"id: q\nname: Q\nanalysis: {SiO2: 90, Al2O3: 90}\nsource: {title: t}\n", "adds to 180", 3),
    "nan oxide": (b"id: q\nname: Q\nanalysis:\n  SiO2: .nan\nsource: {title: t}\n", "finite", 4),
    "text oxide": (b"id: q\nname: Q\nanalysis:\n  SiO2: high\nsource: {title: t}\n", "number", 4),
    "range oxide": (b"id: q\nname: Q\nanalysis:\n  SiO2: 50-60\nsource: {title: t}\n", "number", 4),
    "maximum as an analysis": (
        b"id: q\nname: Q\nanalysis:\n  SiO2: <59.4\n  CaO: 40\nsource: {title: t}\n",
        "specification",
        4,
    ),
    "empty analysis": (b"id: q\nname: Q\nanalysis: {}\nsource: {title: t}\n", "names no oxide", 3),
    "unknown field": (GOOD_MATERIAL.encode() + b"colour: red\n", "'colour' is not a field", 6),
    "unknown kind": (GOOD_MATERIAL.encode() + b"kind: felspar\n", "Did you mean 'feldspar'", 6),
    "bad loss": (b"id: q\nname: Q\nanalysis: {SiO2: 50}\nloi_percent: lots\nsource: {title: t}\n", "number", 4),
    "loss part": (GOOD_MATERIAL.encode() + b"loss: {steam: 5}\n", "not a part of the loss", 6),
    "bad density": (GOOD_MATERIAL.encode() + b"density_g_cm3: -2\n", "0.1 to 25", 6),
    "bad solubility": (GOOD_MATERIAL.encode() + b"solubility: maybe\n", "solubility", 6),
    "aliases hold a mapping": (GOOD_MATERIAL.encode() + b"aliases: [{a: b}]\n", "list of texts", 6),
    "source is text": (b"id: q\nname: Q\nformula: SiO2\nsource: a book\n", "mapping", 4),
    "memory flag": (b"id: q\nname: Q\nformula: SiO2\nsource: {title: t, from_memory: perhaps}\n", "true or false", 4),
    "duplicate key": (b"id: q\nname: Q\nname: R\nformula: SiO2\nsource: {title: t}\n", "is there twice", 3),
    "name of signs": (b"id: q\nname: '---'\nformula: SiO2\nsource: {title: t}\n", "no letter", 2),
    "a list": (b"- id: q\n", "mapping", 1),
    "not yaml": (b"id: [q\n", "YAML", None),
    "empty": (b"", "empty", None),
    "binary": (b"\x80\x81\x82", "UTF-8", 1),
    "tolerance oxide": (GOOD_MATERIAL.encode() + b"tolerance: {Sio2: 1}\n", "Did you mean 'SiO2'", 6),
    "huge integer": (b"id: q\nname: Q\nanalysis:\n  SiO2: " + b"9" * 399 + b"\nsource: {title: t}\n", "finite", 4),
}


@pytest.mark.parametrize("case", RECIPES, ids=str)
def test_broken_recipe(case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    file_name, content, piece, line = RECIPES[case]
    path = tmp_path / file_name
    path.write_bytes(content)
    ran = run(capsys, "check", str(path))
    assert ran.code == 1
    assert ran.out == ""
    assert piece in ran.err
    assert (f"{path}:{line}:" if line is not None else str(path)) in ran.err
    assert "Traceback" not in ran.err
    assert len(ran.err) < 3000


@pytest.mark.parametrize("case", MATERIALS, ids=str)
def test_broken_material(case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    content, piece, line = MATERIALS[case]
    recipe = tmp_path / "r.txt"
    recipe.write_text("T\nwhiting 50\nsilica 50\n")
    folder = tmp_path / "mine"
    folder.mkdir()
    path = folder / "q.yaml"
    path.write_bytes(content)
    ran = run(capsys, "check", str(recipe), "--materials", str(folder))
    assert ran.code == 1
    assert ran.out == ""
    assert piece in ran.err
    assert (f"{path}:{line}:" if line is not None else str(path)) in ran.err
    assert "Traceback" not in ran.err


def test_missing_files_and_folders(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    (tmp_path / "harbour.txt").write_text("T\nwhiting 5\n")
    ran = run(capsys, "check", str(tmp_path / "harbor.txt"))
    assert ran.code == 1
    assert "Did you mean 'harbour.txt'" in ran.err
    assert run(capsys, "scale", str(tmp_path), "--base", "300g").code == 1
    ran = run(capsys, "check", str(tmp_path / "harbour.txt"), "--materials", str(tmp_path / "none"))
    assert ran.code == 1
    assert "no such folder" in ran.err


def test_every_fault_of_a_file_is_reported_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = tmp_path / "r.txt"
    path.write_text("T\nwhiting x\nsilica -3\nkaolin 1,500\nfrit 5\n")
    ran = run(capsys, "check", str(path))
    assert [f"{path}:{line}:" in ran.err for line in (2, 3, 4)] == [True, True, True]
    path.write_text("T\nwhitng 4\niron 5\nsilicca 3\n")
    ran = run(capsys, "check", str(path))
    assert [f"{path}:{line}:" in ran.err for line in (2, 3, 4)] == [True, True, True]


def test_wrong_calls_exit_2_with_nothing_on_stdout(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = tmp_path / "r.txt"
    path.write_text("T\nwhiting 5\n")
    for words in (
        ["chek", str(path)],
        ["check"],
        ["check", str(path), "--convention", "x"],
        ["check", str(path), "--use", "bath"],
        ["check", str(path), "--cone", "77"],
        ["check", str(path), "--nope"],
    ):
        ran = run(capsys, *words)
        assert ran.code == 2, words
        assert ran.out == ""
        assert "Traceback" not in ran.err


@pytest.mark.parametrize(
    "line", ["1 lb " * 59, "1 g,1 g," * 36, "1 lb 1," * 40, "5" * 290, "1½ " * 99, "a" + " " * 280 + "b", "1-1" * 90]
)
def test_a_line_that_repeats_itself_is_answered_at_once(line: str):
    with work_of_at_most(70):
        with contextlib.suppress(GlazeError):
            parse_recipe_text(f"T\nwhiting 5\n{line}\n")
        with contextlib.suppress(GlazeError):
            parse_recipe_text(f"{line * 2000}\nwhiting 5\n")
        with contextlib.suppress(GlazeError):
            parse_quantity(line)
