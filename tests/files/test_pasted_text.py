"""Text as people paste it: every space is a space, one name is one name, and no control or bidi sign gets in or out."""

from __future__ import annotations

import contextlib
import json
import os
import unicodedata
from pathlib import Path

import pytest

import glazecalc as gc
from glazecalc.errors import MOST_FAULTS, CompositionError, FileFaultsError, did_you_mean
from glazecalc.units import parse_quantity
from tests.cli.run import run
from tests.work import work_of_at_most

SPACES = [chr(n) for n in range(0x10000) if unicodedata.category(chr(n)) == "Zs"] + ["\u200b", "\u2060", "\ufeff"]
CONTROLS = [chr(n) for n in (*range(9), 11, 12, *range(14, 32), *range(127, 160))]
BIDI = [
    chr(n)
    for n in range(0x10000)
    if unicodedata.bidirectional(chr(n)) in ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
]
FORBIDDEN = [*CONTROLS, *BIDI, "\u200e", "\u200f", "\u2028", "\u2029"]
FILES = {
    "r.txt": ("T\npotash_feldspar_38_g\nsilica_ 30 g\n", gc.read_recipe),
    "r.csv": ("material,amount,unit\npotash_feldspar,38_,g\nsilica,_30,g\n", gc.read_recipe),
    "r.yaml": ("base:\n  potash_feldspar: 38_g\n  silica: 30_g\n", gc.read_recipe),
    "b.yaml": ("name: Osier_Fold\n", gc.read_body),
    "f.csv": ("recipe,body,cone,result\nrill_clear,Osier_Fold,6_,sound\n", gc.read_firings),
    "s.csv": ("material,stock\nred_iron_oxide,38_kg\n", lambda path: gc.read_shelf(path, gc.load_materials())),
    "l.csv": ("element,value,unit,piece\nPb,_0.03,mg/dm2_,plate_1\n", gc.read_release_results),
}  # fmt: skip


@pytest.mark.parametrize("name", FILES)
def test_every_space_is_a_space_in_every_reader(name: str, tmp_path: Path):
    text, read = FILES[name]
    path = tmp_path / name
    path.write_text(text.replace("_", " "), encoding="utf-8")
    plain = read(path)
    for space in SPACES:
        path.write_text(text.replace("_", space), encoding="utf-8")
        assert read(path) == plain, f"U+{ord(space):04X}"


def test_every_space_is_a_space_in_a_quantity():
    for space in SPACES:
        assert parse_quantity(f"1{space}lb{space}8{space}oz") == parse_quantity("1 lb 8 oz")


@pytest.mark.parametrize("name", FILES)
def test_what_no_text_may_carry_is_refused_with_its_line_and_number(name: str, tmp_path: Path):
    text, read = FILES[name]
    path = tmp_path / name
    for sign in FORBIDDEN:
        path.write_text(f"# a remark\n{text.replace('_', sign, 1)}", encoding="utf-8")
        with pytest.raises(FileFaultsError, match=rf"U\+{ord(sign):04X}"):
            read(path)


def test_names_built_in_python_are_refused_too():
    source = gc.Source(title="t")
    for sign in (*FORBIDDEN, "\n", "\r", "\t", "\ud800"):
        code = rf"U\+{ord(sign):04X}"
        for make in (
            lambda s: gc.Ingredient(material=s, amount=1),
            lambda s: gc.Recipe(name=s),
            lambda s: gc.ClayBody(name=s),
            lambda s: gc.Firing(recipe="r", body=s, result="sound"),
            lambda s: gc.Material(id="m", name=s, formula="SiO2", source=source),
            lambda s: gc.Material(id="m", name="M", aliases=(s,), formula="SiO2", source=source),
        ):
            with pytest.raises(CompositionError, match=code):
                make(f"silica{sign}clay")


def test_nothing_that_is_shown_carries_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    (tmp_path / "r.txt").write_text("Clear\nwhiting 40\nsilica 60\n")
    recipe = str(tmp_path / "r.txt")
    evil = "a\x1b[31m\u202e\x9b\x7fb"
    sheet = tmp_path / "s.html"
    calls = [
        [evil], ["check", evil], ["check", recipe, "--cone", evil], ["check", recipe, f"--{evil}"], ["cone", evil], ["materials", evil],
        ["scale", recipe, "--base", "1kg", "--batch-no", evil, "--sheet", str(sheet)], ["scale", recipe, "--base", "1kg", "--batch-no", evil],
        ["scale", recipe, "--base", evil], ["nudge", recipe, evil], ["scale", recipe, "--base", "1kg", "--batch-no", evil, "--json"],
    ]  # fmt: skip
    for words in calls:
        ran = run(capsys, *words)
        shown = ran.out + ran.err + (sheet.read_text() if sheet.exists() else "")
        assert not set(shown) & {*FORBIDDEN, "\ud800"}, words
        if ran.code == 0 and "--json" in words:
            json.loads(ran.out)


@pytest.mark.parametrize("name", ["Émail", "Å clay", "grès"])
def test_both_spellings_of_an_accent_are_one_name(name: str):
    composed, apart = (unicodedata.normalize(form, name) for form in ("NFC", "NFD"))
    source = gc.Source(title="t")
    for given, asked in ((composed, apart), (apart, composed)):
        materials = gc.MaterialLibrary([gc.Material(id="m", name=given, formula="SiO2", source=source)])
        assert materials.find(asked)[0].id == "m"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes in this system's folders")
def test_a_pipe_and_a_device_are_no_files(tmp_path: Path):
    os.mkfifo(tmp_path / "pipe.txt")
    for path in (tmp_path / "pipe.txt", Path(os.devnull)):
        with pytest.raises(FileFaultsError, match="a pipe or a device"):
            gc.read_recipe(path)


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize(
    "piece", ["1", "1 ", "cone ", "a" + " " * 50, '"', ",", "1/", "½", "#", "e\u0301", "1 lb ", "(", "cone 6 - "]
)
def test_long_lines_are_answered_at_once(name: str, piece: str, tmp_path: Path):
    text, read = FILES[name]
    path = tmp_path / name
    with work_of_at_most(120):
        for long in (piece * (8000 // len(piece)), piece * (19_000 // len(piece))):
            for broken in (f"{long}\n{text}", text.replace("_", long, 1), f"{text}{long}\n"):
                path.write_text(broken, encoding="utf-8")
                with contextlib.suppress(FileFaultsError):
                    read(path)


def test_many_faults_are_counted_not_printed(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = tmp_path / "r.csv"
    path.write_text("material,amount\n" + "".join(f"whitingg no {i},5\n" for i in range(20_000)))
    with work_of_at_most(330):
        ran = run(capsys, "check", str(path))
    assert ran.err.count("no material is called") == MOST_FAULTS
    assert ran.err.rstrip().endswith("and 19,980 more")
    assert did_you_mean("w" * 100_000, ["whiting"]) == ""
