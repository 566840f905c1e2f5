"""``glazecalc scale``: the contract of its JSON, the sheet and the label, and what it refuses."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.run import run

RECIPE = "Quay Black  cone 6 ox\npotash feldspar 30\nwollastonite 24\nwhiting 8\nkaolin 14\nsilica 22\n+ red iron oxide 8\n+ cobalt carbonate 1.5\n"


@pytest.fixture
def recipe(tmp_path: Path) -> str:
    (tmp_path / "recipe.txt").write_text(RECIPE)
    return str(tmp_path / "recipe.txt")


def test_json_contract(capsys: pytest.CaptureFixture[str], recipe: str):
    page = run(capsys, "scale", recipe, "--fill", "10l", "--sg", "1.45", "--solids-density", "2.6", "--json").json
    assert page.keys() >= {"lines", "dry_mass_g", "water_g", "volume_ml"}
    assert page["dry_mass_g"] == pytest.approx(7312.5, rel=1e-12)
    assert page["water_g"] == pytest.approx(7187.5, rel=1e-12)
    assert page["volume_ml"] == pytest.approx(10_000)
    first = page["lines"][0]
    assert (first["material"], first["addition"]) == ("potash_feldspar", False)
    assert first["mass_g"] == pytest.approx(7312.5 * 30 / 107.5, rel=1e-12)
    assert sum(x["mass_g"] for x in page["lines"]) == pytest.approx(page["dry_mass_g"], rel=1e-12)


@pytest.mark.parametrize(("option", "total"), [("--all-in", 5000), ("--base", 5000 * 107.5 / 98)])
def test_base_and_all_in(capsys: pytest.CaptureFixture[str], recipe: str, option: str, total: float):
    page = run(capsys, "scale", recipe, option, "5kg", "--json").json
    assert page["dry_mass_g"] == pytest.approx(total)
    assert page["water_g"] is None


@pytest.mark.parametrize("words", [("300g",), ("5kg",), ()])
def test_asks_base_or_all_in(capsys: pytest.CaptureFixture[str], recipe: str, words: tuple[str, ...]):
    ran = run(capsys, "scale", recipe, *words)
    assert (ran.code, ran.out) == (2, "")
    assert "--base" in ran.err
    assert "--all-in" in ran.err


def _numbers(page: str) -> list[tuple[str, float, float]]:
    return [
        (m[1].strip(), float(m[2]), float(m[3])) for m in re.finditer(r"\[ \][ +]  (.+?)  +([\d.]+) +([\d.]+)", page)
    ]


@pytest.mark.parametrize(
    "words",
    [
        (),
        ("--step", "0.1g"),
        ("--step", "5g"),
        ("--unit", "oz"),
        ("--unit", "kg", "--step", "1g"),
        ("--capacity", "610g"),
    ],
)
def test_printed_lines_add_to_the_printed_total(
    capsys: pytest.CaptureFixture[str], recipe: str, words: tuple[str, ...]
):
    out = run(capsys, "scale", recipe, "--all-in", "7312.5g", *words).out
    rows = _numbers(out)
    assert len(rows) == 7
    running = 0.0
    for _, mass, printed in rows:
        running += mass
        assert printed == pytest.approx(running, abs=1e-6)
    total = float(re.search(r"= ([\d.]+) \w+ total batch", out)[1])  # type: ignore[index]
    assert total == pytest.approx(running, abs=1e-6)
    base = [mass for _, mass, _ in rows[:5]]
    assert base == sorted(base, reverse=True)
    assert all(len(line) <= 100 for line in out.splitlines())


def test_rounding_is_seen(capsys: pytest.CaptureFixture[str], recipe: str):
    ran = run(capsys, "scale", recipe, "--base", "300g", "--step", "1g")
    assert "rounding to 1 g took the dry total" in ran.out
    assert "rounding moves the unity formula" in ran.out
    assert re.search(r"Cobalt carbonate +4\.59 +\S+ +fine scale", ran.out)
    page = run(capsys, "scale", recipe, "--base", "300g", "--step", "1g", "--json").json
    assert page["dry_mass_g"] == pytest.approx(sum(x["mass_g"] for x in page["lines"]), rel=1e-12)
    assert page["exact_dry_mass_g"] == pytest.approx(300 * 107.5 / 98)
    silica = page["rounding"]["SiO2"]
    assert silica["moved"] == silica["rounded"] - silica["exact"] != 0
    assert [(x["material"], x["mass_g"]) for x in page["lines"] if x["fine_scale"]] == [
        ("cobalt_carbonate", pytest.approx(300 * 1.5 / 98))
    ]


def test_rounds_when_the_scale_is_small(capsys: pytest.CaptureFixture[str], recipe: str):
    page = run(capsys, "scale", recipe, "--all-in", "7312.5g", "--step", "0.1g", "--capacity", "610g", "--json").json
    assert page["lines"][0]["rounds_g"] == [510.2, 510.2, 510.2, 510.1]


def test_an_order_of_plates(capsys: pytest.CaptureFixture[str], recipe: str):
    words = (
        "--pieces",
        "60",
        "--gain",
        "61g",
        "--gain",
        "66g",
        "--gain",
        "62g",
        "--spare",
        "10%",
        "--sg",
        "1.55",
        "--solids-density",
        "2.6",
    )
    page = run(capsys, "scale", recipe, *words, "--json").json
    assert page["dry_mass_g"] == pytest.approx(4158)
    assert page["volume_ml"] / 1000 == pytest.approx(4.65, abs=0.005)  # 4158 g at 893.75 g/l
    area = run(capsys, "scale", recipe, "--pieces", "85", "--area", "8dm2", "--coat", "6.5g/dm2", "--json").json
    assert area["dry_mass_g"] == pytest.approx(4420)
    guessed = run(capsys, "scale", recipe, "--pieces", "60", "--area", "8dm2")
    assert "weigh ten pieces" in " ".join(guessed.out.split())


def test_what_is_left_of_one_material(capsys: pytest.CaptureFixture[str], recipe: str):
    page = run(capsys, "scale", recipe, "--limit", "kaolin 800 g", "--json").json
    assert page["dry_mass_g"] == pytest.approx(800 / 14 * 107.5)
    stepped = run(capsys, "scale", recipe, "--limit", "kaolin 800.7 g", "--step", "1g", "--json").json
    assert next(x for x in stepped["lines"] if x["material"] == "kaolin")["mass_g"] == 800


def test_moist_clay(capsys: pytest.CaptureFixture[str], recipe: str):
    words = ("--all-in", "1075g", "--sg", "1.5", "--solids-density", "2.6", "--moist", "kaolin 8.7%", "--json")
    page = run(capsys, "scale", recipe, *words).json
    kaolin = next(x for x in page["lines"] if x["material"] == "kaolin")
    assert kaolin["mass_g"] == pytest.approx(140)
    assert kaolin["weigh_g"] == pytest.approx(140 * 1.087)
    assert page["water_g"] - page["pour_water_g"] == pytest.approx(140 * 0.087)


def test_another_form_and_gum(capsys: pytest.CaptureFixture[str], recipe: str):
    words = (
        "--all-in",
        "2kg",
        "--form",
        "cobalt carbonate=cobalt oxide",
        "--gum",
        "1%",
        "--gum-solution",
        "30",
        "--sg",
        "1.6",
    )
    ran = run(capsys, "scale", recipe, *words)
    assert ran.code == 0
    assert "[ ]  gum solution 660 ml, 30 g of gum in a litre of water" in ran.out  # 2000 / 101 g at 30 g/l
    assert not re.search(r"\[ \]\+? +CMC gum", ran.out)  # not on the dry list too
    assert "and 19.8 g of gum in its solution" in " ".join(ran.out.split())
    assert "in place of Cobalt carbonate" in " ".join(ran.out.split())


def test_sheet_and_label_are_escaped(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    nasty = tmp_path / "r.txt"
    nasty.write_text("<b>Quay & Sons</b> <script>x</script>\nkaolin 50\nsilica 50\n")
    words = (
        "--sheet",
        str(tmp_path / "s.html"),
        "--label",
        str(tmp_path / "l.html"),
        "--date",
        "<i>now",
        "--batch-no",
        '"&"',
    )
    ran = run(capsys, "scale", str(nasty), "--all-in", "1kg", *words)
    assert ran.code == 0
    for name in ("s.html", "l.html"):
        text = (tmp_path / name).read_text()
        assert "<script>" not in text
        assert "<b>" not in text
        assert "&lt;script&gt;" in text
    assert "&lt;i&gt;now" in (tmp_path / "l.html").read_text()


def test_label_says_what_it_knows_and_no_more(capsys: pytest.CaptureFixture[str], recipe: str, tmp_path: Path):
    label = tmp_path / "label.txt"
    run(capsys, "scale", recipe, "--fill", "10l", "--sg", "1.45", "--label", str(label), "--mesh", "80")
    text = label.read_text()
    assert {len(line) for line in text.splitlines()} == {80}
    assert "may contain quartz" in text
    assert "Cobalt carbonate" in text
    assert "specific gravity 1.45" in text
    assert "180 micrometre" in text
    assert "safety data sheets" in text
    assert "food safe" not in text.lower()
    assert re.search(r"date +_+", text)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--fill", "10l"), 2, "--sg"),
        (("--fill", "10l", "--sg", "0.9"), 1, "below water"),
        (("--fill", "10l", "--sg", "3.5"), 1, "above the solids density"),
        (("--fill", "0l", "--sg", "1.45"), 1, "above zero"),
        (("--fill", "10kg", "--sg", "1.45"), 2, "a volume was expected"),
        (("--fill", "1 gallon", "--sg", "1.45"), 2, "two sizes"),
        (("--fill", "10l", "--sg", "1.45", "--bucket", "9l"), 1, "do not fit"),
        (("--all-in", "5"), 2, "no unit"),
        (("--all-in", "1,500g"), 2, "1500"),
        (("--all-in", "-5kg"), 1, "above zero"),
        (("--all-in", "5kg", "--base", "5kg"), 2, "give one"),
        (("--all-in", "5kg", "--step", "0g"), 1, "step"),
        (("--limit", "kaolin"), 2, "--limit"),
        (("--limit", "kaolin -5 g"), 1, "above zero"),
        (("--limit", "talc 5 g"), 1, "It has Potash feldspar, Wollastonite"),
        (("--all-in", "5kg", "--form", "talc=magnesium carbonate"), 1, "It has Potash feldspar, Wollastonite"),
        (("--pieces", "60"), 2, "--gain"),
        (("--pieces", "0", "--gain", "60g"), 1, "one or more"),
        (("--gain", "60g", "--all-in", "5kg"), 2, "--pieces"),
        (("--all-in", "5kg", "--moist", "talc 5%"), 1, "not in the recipe"),
        (("--all-in", "5kg", "--moist", "kaolin wet"), 2, "--moist"),
        (("--all-in", "5kg", "--form", "whiting=wollastonite"), 1, "not another form"),
        (("--all-in", "5kg", "--form", "whiting"), 2, "--form"),
        (("--all-in", "5kg", "--gum", "50%"), 1, "gum"),
        (("--all-in", "5kg", "--label", "x.pdf"), 2, ".html or .txt"),
        (("--all-in", "5kg", "--sheet", "/nowhere/at/all/x.txt"), 1, "cannot be written"),
        (("--all-in", "1g", "--capacity", "0.001g"), 1, "larger scale"),
        (("--all-in", "1g", "--step", "0.1g", "--capacity", "0.01g"), 1, "step"),
        (("--all-in", "5kg", "--jug", "2l"), 2, "--sg"),
        (("--all-in", "5kg", "--sg", "1.5", "--jug", "0l"), 2, "--jug"),
        (("--pieces", "9", "--gain", "60g", "--spare", "2l"), 2, "--sg"),
        (("--pieces", "9", "--gain", "60g", "--spare", "2kg"), 2, "a share or a volume"),
        (("--pieces", "9", "--gain", "60g", "--spare", "5%", "--spare", "6%"), 2, "once"),
    ],
)
def test_refused_with_the_mend(
    capsys: pytest.CaptureFixture[str], recipe: str, words: tuple[str, ...], code: int, said: str
):
    ran = run(capsys, "scale", recipe, *words)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err


def test_a_page_beside_json_has_its_date_unit_and_sieve(
    capsys: pytest.CaptureFixture[str], recipe: str, tmp_path: Path
):
    page = tmp_path / "card.html"
    asked = ("--date", "12 May", "--batch-no", "7", "--unit", "lb", "--mesh", "80")
    ran = run(capsys, "scale", recipe, "--all-in", "5kg", "--html", str(page), "--json", *asked)
    assert ran.code == 0
    text = page.read_text(encoding="utf-8")
    assert all(word in text for word in ("12 May", "batch 7", "180 micrometre", "running lb"))
    assert "12 May" not in ran.out  # the page alone has it
    for alone in (asked[:2], asked[2:4], asked[4:6], asked[6:]):
        assert run(capsys, "scale", recipe, "--all-in", "5kg", "--json", *alone).code == 2
