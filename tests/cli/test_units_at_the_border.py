"""Wherever a quantity comes in, the same amount in any unit gives the same answer, and no option is left out of the test."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import pytest

from glazecalc.cli.quantities import QuantityType
from glazecalc.cli.verbs import VERBS, command_of
from glazecalc.units import parse_quantity
from tests.cli.run import run

# unit -> how many base units (g, ml, mm, cm2, C, C/h) are one of it; exact by the definitions named in units.py, written out again
# here: NIST SP 811 appendix B (pound, inch), NIST Handbook 44 appendix C (US gallon), UK Units of Measurement Regulations 1995
UNITS = {
    "mass": {"g": 1, "mg": 0.001, "kg": 1000, "t": 1e6, "oz": 28.349523125, "lb": 453.59237},
    "volume": {"ml": 1, "cl": 10, "l": 1000, "cm3": 1, "us gal": 3785.411784, "imp gal": 4546.09, "us pt": 473.176473, "imp pt": 568.26125},
    "length": {"mm": 1, "cm": 10, "m": 1000, "in": 25.4, "ft": 304.8},
    "area": {"cm2": 1, "mm2": 0.01, "dm2": 100, "m2": 10000, "in2": 6.4516},
    "heating rate": {"C/h": 1, "F/h": 5 / 9},
}  # fmt: skip
BASE = {"mass": "g", "volume": "ml", "length": "mm", "area": "cm2", "heating rate": "C/h"}
DIMENSION = {unit: dimension for dimension, units in UNITS.items() for unit in units}

ALL_IN, ORDER, SIZE = (
    "--all-in {500 g}",
    "--pieces 85 --area {800 cm2} --coat 6.5g/dm2",
    "--sg 1.45 --solids-density 2.6",
)
SCALE = {
    "--all-in": ALL_IN, "--base": "--base {300 g}", "--fill": f"--fill {{10000 ml}} {SIZE}", "--bucket": f"--fill 10l {SIZE} --bucket {{12000 ml}}",
    "--gain": "--pieces 60 --gain {61 g} --gain {66 g}", "--area": ORDER, "--coat": "--pieces 85 --area 8dm2 --coat '{6.5 g}/dm2'",
    "--spare": f"--pieces 60 --gain 61g --spare {{2000 ml}} --spare 5% {SIZE}",
    "--limit": "--limit 'kaolin {800 g}'", "--step": "--all-in 500g --step {5 g}",
}  # fmt: skip
BUCKET = "--sample '500 ml 735 g' --solids-density 2.6"
DISH = "--ware plate --depth {18 mm} --area {280 cm2} --volume {400 ml}"
# verb and option -> a call with the option, amounts in braces; what is a bare number, a share or lengths in any one unit has no unit to err in
CALLS = {
    **{("scale", option): f"scale RECIPE {words}" for option, words in SCALE.items()},
    ("scale", "--jug"): f"scale RECIPE --fill 10l {SIZE} --jug {{1500 ml}}",
    ("scale", "--capacity"): "scale RECIPE --all-in 900g --capacity {100 g}",
    **{("cost", option): f"cost RECIPE --prices PRICES {words}" for option, words in SCALE.items()},
    ("slurry", "--sample"): "slurry --sample '{500 ml} {735 g}' --volume 7l --solids-density 2.6",
    ("slurry", "--sample-error"): f"slurry {BUCKET} --sample-error '{{2 ml}} {{3 g}}' --volume 7l",
    ("slurry", "--gross"): f"slurry {BUCKET} --gross {{11200 g}} --tare {{900 g}}",
    ("slurry", "--tare"): f"slurry {BUCKET} --gross {{11200 g}} --tare {{900 g}}",
    ("slurry", "--volume"): f"slurry {BUCKET} --volume {{7000 ml}}",
    ("slurry", "--to"): f"slurry {BUCKET} --volume 7l --to {{10000 ml}} --sg 1.45",
    ("slurry", "--step"): "slurry RECIPE --sample '1l 1440 g' --volume 6l --to 10l --sg 1.45 --step {5 g}",
    ("slurry", "--bucket"): f"slurry {BUCKET} --volume 7l --to 10l --sg 1.45 --bucket {{12000 ml}}",
    ("mend", "--all-in"): "mend RECIPE --weighed WEIGHED --all-in {1000 g}",
    ("mend", "--base"): "mend RECIPE --weighed WEIGHED --base {900 g}",
    ("mend", "--used"): "mend RECIPE --weighed WEIGHED --all-in 1kg --used {200 g}",
    ("mend", "--step"): "mend RECIPE --weighed WEIGHED --all-in 1kg --step {5 g}",
    ("size", "--want"): "size --shrinkage 12% --want {230 mm}",
    ("size", "--thrown"): "size --shrinkage 12% --thrown {230 mm}",
    ("size", "--tolerance"): "size --bar '100 94 87.5' --bar '100 94 87.9' --want 230mm --tolerance {3 mm}",
    ("size", "--clay-mass"): "size --shrinkage 12% --want 230mm --clay-mass {1250 g} --clay-size {200 mm}",
    ("size", "--clay-size"): "size --shrinkage 12% --want 230mm --clay-mass {1250 g} --clay-size {200 mm}",
    ("size", "--absorption"): "size --absorption '{210.4 g} {214.6 g}'",
    ("blend", "--tile"): "blend RECIPE OTHER --side 3 --tile {100 g}",
    ("blend", "--step"): "blend RECIPE OTHER --side 3 --step {0.5 g}",
    ("cone", "--rate"): "cone 6 --rate {60 C/h}",
    ("lab", "--depth"): f"lab RESULTS {DISH}",
    ("lab", "--area"): f"lab RESULTS {DISH}",
    ("lab", "--volume"): f"lab RESULTS {DISH}",
    ("check", "--step"): "check RECIPE --spread 1000 --step {1 g} --batch-mass {300 g}",
    ("check", "--batch-mass"): "check RECIPE --spread 1000 --step {1 g} --batch-mass {300 g}",
    ("check", "--set-point"): "check RECIPE --body BODY --glaze-expansion 6.0 --glaze-range 20-500 --set-point {520 C}",
    ("substitute", "--batch-mass"): "substitute RECIPE --without whiting --only wollastonite kaolin silica --stock STOCK --batch-mass {900 g}",
    ("match", "--batch-mass"): "match RECIPE --only 'potash feldspar' whiting kaolin silica --stock STOCK --batch-mass {900 g}",
}  # fmt: skip
FILES = {
    "RECIPE": "Clear\nPotash feldspar 40\nWhiting 18\nKaolin 12\nSilica 30\n+ Red iron oxide 2\n",
    "OTHER": "Other\nPotash feldspar 30\nWhiting 28\nKaolin 12\nSilica 30\n",
    "WEIGHED": "Potash feldspar 400 g\nWhiting 220 g\n",
    "PRICES": "material,pack,price,currency\npotash feldspar,25 kg,20,EUR\nwhiting,25 kg,10,EUR\nkaolin,25 kg,18,EUR\nsilica,25 kg,15,EUR\nred iron oxide,1 kg,5,EUR\n",
    "STOCK": "material,stock\npotash feldspar,5 kg\nwhiting,5 kg\nwollastonite,5 kg\nkaolin,5 kg\nsilica,5 kg\n",
    "RESULTS": "element,value,unit\nPb,0.03,mg/dm2\n",
    "BODY": "name: Slate\nexpansion_1e6_per_k: 6.5\nexpansion_range_c: [20, 500]\n",
}  # fmt: skip
WITHOUT_UNIT = (
    "number",
    "percent",
    "material and share",
    "material and moisture",
    "number or length",
    "wet, dry and fired length",
)


def options_with_a_unit() -> set[tuple[str, str]]:
    found = set()
    for verb in VERBS:
        for param in command_of(verb).params:
            if isinstance(param.type, QuantityType) and param.type.name not in WITHOUT_UNIT:
                found.add((verb, param.opts[0]))
    return found


def in_units(call: str, turn: int) -> str:
    """Return the call with each amount in another unit; `turn` picks which, none for the unit it is written in."""

    def other(match: re.Match[str]) -> str:
        number, unit = float(match[1]), match[2]
        if unit == "C":
            return f"{number * 9 / 5 + 32:.12g} F" if turn else f"{number:g} C"
        dimension = DIMENSION[unit]
        units = [name for name in UNITS[dimension] if name != BASE[dimension]]
        chosen = units[(turn - 1) % len(units)] if turn else unit
        return (
            f"{number * UNITS[dimension][unit] / UNITS[dimension][chosen]:.16f}".rstrip("0").rstrip(".") + f" {chosen}"
        )

    return re.sub(r"\{([\d.]+) ([^}]+)\}", other, call)


def words_of(call: str, turn: int, paths: dict[str, str]) -> list[str]:
    words = re.findall(r"'([^']*)'|((?:\{[^}]*\}|\S)+)", call)
    return [paths.get(word, word) for word in (in_units(quoted or bare, turn) for quoted, bare in words)]


def apart(one: Any, other: Any) -> str:
    """Return where two JSON values differ in their numbers, empty where they do not; texts are not compared."""
    if isinstance(one, dict):
        return next(
            (f"{k}: {d}" for k in one if (d := apart(one[k], other.get(k)))),
            "" if one.keys() == other.keys() else "keys",
        )
    if isinstance(one, list):
        if len(one) != len(other):
            return "length"
        return next((d for a, b in zip(one, other, strict=True) if (d := apart(a, b))), "")
    if isinstance(one, int | float) and not isinstance(one, bool):
        return "" if math.isclose(one, other, rel_tol=1e-7, abs_tol=1e-9) else f"{one} and {other}"
    return "" if type(one) is type(other) else f"{one!r} and {other!r}"


def test_every_option_that_takes_a_unit_has_its_call():
    assert set(CALLS) == options_with_a_unit()


@pytest.mark.parametrize("dimension", UNITS)
def test_one_of_each_unit_is_what_its_definition_says(dimension: str):
    for unit, size in UNITS[dimension].items():
        assert parse_quantity(f"1 {unit}", dimension).base == pytest.approx(size, rel=1e-15)


def test_the_same_amount_in_another_unit_gives_the_same_answer(capsys, tmp_path: Path):
    paths = {
        name: str(
            tmp_path / f"{name.lower()}{'.csv' if ',' in text.split()[0] else '.yaml' if name == 'BODY' else '.txt'}"
        )
        for name, text in FILES.items()
    }
    for name, text in FILES.items():
        Path(paths[name]).write_text(text, encoding="utf-8")
    differs = {}
    for turn, call in enumerate(dict.fromkeys(CALLS.values()), start=1):
        plain = run(capsys, *words_of(call, 0, paths), "--json")
        assert plain.code == 0, (call, plain.err)
        turned = run(capsys, *words_of(call, turn, paths), "--json")
        assert turned.code == 0, (words_of(call, turn, paths), turned.err)
        if where := apart(plain.json, turned.json):
            differs[" ".join(words_of(call, turn, paths))] = where
    assert differs == {}


@pytest.mark.parametrize("unit", [unit for unit in UNITS["mass"] if unit != "g"])
def test_a_mass_in_a_file_is_the_same_in_each_unit(capsys, tmp_path: Path, unit: str):
    """Lines of a recipe, what was weighed, packs and stock."""

    def files(of: str) -> dict[str, str]:
        def mass(grams: float) -> str:
            return f"{grams / UNITS['mass'][of]:.16f}".rstrip("0").rstrip(".") + f" {of}"

        lines = {"Potash feldspar": 400.0, "Whiting": 180.0, "Kaolin": 120.0, "Silica": 300.0}
        texts = {
            "recipe.txt": "".join(f"{name} {mass(grams)}\n" for name, grams in lines.items()),
            "weighed.txt": f"Potash feldspar {mass(400)}\nWhiting {mass(220)}\n",
            "prices.csv": "material,stock,pack,price,currency\n"
            + "".join(f"{n},{mass(5000)},{mass(25000)},20,EUR\n" for n in lines),
        }
        for name, text in texts.items():
            (tmp_path / of.replace(" ", "") / name).parent.mkdir(exist_ok=True)
            (tmp_path / of.replace(" ", "") / name).write_text(text, encoding="utf-8")
        return {name: str(tmp_path / of.replace(" ", "") / name) for name in texts}

    grams, other = files("g"), files(unit)
    for call in (
        ("check", "recipe.txt"),
        ("mend", "recipe.txt", "--weighed", "weighed.txt", "--all-in", "1kg"),
        ("cost", "recipe.txt", "--all-in", "2kg", "--prices", "prices.csv", "--stock", "prices.csv"),
    ):
        answers = [run(capsys, *(paths.get(word, word) for word in call), "--json") for paths in (grams, other)]
        assert [ran.code for ran in answers] == [0, 0], answers[1].err
        one, two = (ran.json for ran in answers)
        if call[0] == "check":  # the parts of the recipe itself stand in the unit that was written
            one, two = (
                {k: v[k] for k in ("unity", "fired_analysis_percent", "loi_percent_all_in")} for v in (one, two)
            )
        assert apart(one, two) == "", call


# what a laboratory writes for 0.03 mg/dm2, and for 0.3 mg/L; 1 ppm of a leachate of density 1 is 1 mg/L
ALIKE = {
    "0.03,mg/dm2": ("30,ug/dm2", "0.0003,mg/cm2", "0.3,ug/cm2", "3,mg/m2"),
    "0.3,mg/L": ("300,ug/L", "0.3,ug/mL", "0.3,mg/kg", "300,ug/kg", "0.3,ppm", "300,ppb"),
}


@pytest.mark.parametrize(("one", "other"), [(one, other) for one, others in ALIKE.items() for other in others])
def test_a_release_is_the_same_in_each_unit(capsys, tmp_path: Path, one: str, other: str):
    path = tmp_path / "results.csv"
    ratios = []
    for written in (one, other):
        path.write_text(f"element,value,unit\nPb,{written}\n", encoding="utf-8")
        ran = run(
            capsys,
            "lab",
            str(path),
            "--ware",
            "plate",
            "--depth",
            "18mm",
            "--area",
            "2.8dm2",
            "--volume",
            "0.4l",
            "--json",
        )
        ratios.append([row["ratio"] for row in ran.json["rows"]])
    assert apart(*ratios) == ""
    assert any(ratio is not None for ratio in ratios[0])


def test_a_coat_by_area_weighs_what_it_should(capsys, tmp_path: Path):
    """85 pieces of 8 dm2 at 6.5 g/dm2: 52 g a piece, 4420 g in all, by hand."""
    recipe = tmp_path / "recipe.txt"
    recipe.write_text(FILES["RECIPE"], encoding="utf-8")
    order = ("--pieces", "85", "--coat", "6.5g/dm2", "--area")
    for area in ("8dm2", "800cm2", "0.08m2", "80000mm2"):
        scaled = run(capsys, "scale", str(recipe), *order, area, "--json").json
        assert scaled["pieces"]["per_piece_g"] == pytest.approx(52)
        assert scaled["dry_mass_g"] == pytest.approx(4420)


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        (("--all-in", "100kg"), False),
        (("--all-in", "100.1kg"), True),
        (("--fill", "130l", "--sg", "1.45", "--solids-density", "2.6"), False),
        (("--fill", "201l", "--sg", "1.2", "--solids-density", "2.6"), True),
        (("--pieces", "85", "--area", "800dm2", "--coat", "6.5g/dm2"), True),
    ],
)
def test_more_than_a_studio_mixes_is_asked_about_and_not_refused(capsys, tmp_path: Path, words, asked: bool):
    recipe = tmp_path / "recipe.txt"
    recipe.write_text(FILES["RECIPE"], encoding="utf-8")
    ran = run(capsys, "scale", str(recipe), *words, "--json")
    assert ran.code == 0
    assert ("large-batch" in {notice["code"] for notice in ran.json["notices"]}) is asked
    assert ("is it meant?" in " ".join(run(capsys, "scale", str(recipe), *words).out.split())) is asked
