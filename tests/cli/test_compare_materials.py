"""``glazecalc compare`` and ``glazecalc materials``."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.run import run


def test_a_recipe_against_itself_has_no_differences(capsys: pytest.CaptureFixture[str], studio: Path):
    path = str(studio / "recipes/weir-celadon.txt")
    page = run(capsys, "compare", path, path, "--json").json
    difference = page["difference"]
    assert set(difference["unity"].values()) == {0.0}
    assert difference["silica_alumina_ratio"] == 0.0
    assert all(line["percent_of_base"] == 0 for line in difference["lines"])


def test_differences_change_sign_with_the_order(capsys: pytest.CaptureFixture[str], studio: Path):
    a, b = str(studio / "recipes/rill-clear.txt"), str(studio / "recipes/chalk-satin.txt")
    more = ["--materials", str(studio / "materials"), "--json"]
    forth = run(capsys, "compare", a, b, *more).json["difference"]
    back = run(capsys, "compare", b, a, *more).json["difference"]
    assert forth["unity"] == pytest.approx({o: -v for o, v in back["unity"].items()})
    assert forth["unity"]["ZrO2"] > 0


def test_compare_page(capsys: pytest.CaptureFixture[str], studio: Path):
    ran = run(
        capsys,
        "compare",
        str(studio / "recipes/rill-clear.txt"),
        str(studio / "recipes/harbour-black.txt"),
        "--materials",
        str(studio / "materials"),
    )
    assert ran.code == 0
    assert "B - A" in ran.out
    assert "all iron as Fe2O3" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 100


def with_silica(studio: Path, folder: Path, name: str, more: float, cone: str = "") -> tuple[str, str]:
    """Return a studio recipe and the path of a copy with that much more silica, fired to another cone where one is given."""
    path = studio / f"recipes/{name}.txt"
    text = re.sub(r"^(Silica\s+)(\S+)", lambda m: f"{m[1]}{float(m[2]) + more:g}", path.read_text(), flags=re.M)
    copy = folder / f"{name}-more.txt"
    copy.write_text(re.sub(r"cone \S+", f"cone {cone}", text, count=1) if cone else text)
    return str(path), str(copy)


@pytest.mark.parametrize("name", ["rill-clear", "harbour-black", "chalk-satin", "weir-celadon"])
@pytest.mark.parametrize("more", [1, 8])
def test_more_silica_reads_stiffer_and_lower_in_expansion(
    capsys: pytest.CaptureFixture[str], studio: Path, tmp_path: Path, name: str, more: float
):
    words = ["compare", *with_silica(studio, tmp_path, name, more), "--materials", str(studio / "materials")]
    shown = run(capsys, *words).out
    assert re.search(r"B melts stiffer than A by 0\.\d\d ± 0\.\d\d log10 Pa s", shown)
    assert re.search(r"expansion, fitted .* down 0\.\d\d ± 0\.\d\d", shown)
    assert "no clear difference" not in shown
    found = {(d["quantity"], d["model"]): d for d in run(capsys, *words, "--json").json["differences"]}
    for key, sign in ((("log viscosity", "fitted"), 1), (("expansion", "fitted"), -1)):
        one = found[key]
        assert sign * one["value"] > 0
        assert one["value"] == pytest.approx(one["second"] - one["first"])
        assert one["low"] < one["value"] < one["high"]
        assert one["level"] == 0.9
        assert one["odds"] > 0.5
        sure = one["low"] > 0 or one["high"] < 0
        assert one["direction"] == (("up" if sign > 0 else "down") if sure else "unsure")
        (row,) = [line for line in shown.splitlines() if re.match(rf"  {key[0]}( 1\d\d\d C)?, fitted", line)][:1]
        assert ("*" in row) is not sure
    assert {d["unit"] for d in found.values()} == {"1e-6 per K", "deg C", "log10 Pa s", "mN/m"}


def test_glazes_of_two_cones_are_compared_at_both_and_the_option_wins(
    capsys: pytest.CaptureFixture[str], studio: Path, tmp_path: Path
):
    words = ["compare", *with_silica(studio, tmp_path, "rill-clear", 8, cone="10")]
    words += ["--materials", str(studio / "materials")]

    def temperatures(*more: str) -> list[float]:
        differences = run(capsys, *words, *more, "--json").json["differences"]
        return [d["temperature_range_c"][0] for d in differences if d["quantity"] == "log viscosity"]

    assert temperatures() == [1222, 1285]  # as the cone chart has them for 60 C/h
    assert temperatures("--cone", "04") == [1063]
    shown = run(capsys, *words).out
    assert "At cone 6 (1222 C): B melts stiffer" in shown
    assert "At cone 10 (1285 C): B melts stiffer" in shown
    beside = re.findall(r"A: [\w ]+ that matured; B: [\w ]+ that matured", " ".join(shown.split()))
    assert len(beside) == 2  # the yardstick of each melt in words, at each cone
    assert run(capsys, *words, "--cone", "warm").code == 2


def test_the_body_of_both_is_looked_at(capsys: pytest.CaptureFixture[str], studio: Path):
    a, b = str(studio / "recipes/rill-clear.txt"), str(studio / "recipes/chalk-satin.txt")
    words = ["compare", a, b, "--materials", str(studio / "materials")]
    heads = run(capsys, *words, "--body", str(studio / "body-slate.yaml")).out.splitlines()[:2]
    assert all(line.endswith("on Osier Fold stoneware") for line in heads)
    assert not any("on Osier" in line for line in run(capsys, *words).out.splitlines())


def test_of_iron_blacks_the_base_stands_beside_the_whole(
    capsys: pytest.CaptureFixture[str], studio: Path, tmp_path: Path
):
    words = ["compare", *with_silica(studio, tmp_path, "harbour-black", 8), "--materials", str(studio / "materials")]
    assert "THE SAME WITHOUT COLOURING OXIDES" in run(capsys, *words).out
    page = run(capsys, *words, "--json").json
    whole, base = (
        {(d["quantity"], d["model"]): d for d in page[key]} for key in ("differences", "differences_without_colourants")
    )
    for key in (("expansion", "fitted"), ("log viscosity", "fitted")):
        assert base[key]["high"] - base[key]["low"] < whole[key]["high"] - whole[key]["low"]
    assert not any("Fe2O3" in text for text in base["expansion", "fitted"]["outside"])
    alone = page["a"]["estimates_without_colourants"]
    assert alone[0]["value"] == base["expansion", "fitted"]["first"]
    clear = run(
        capsys, "check", str(studio / "recipes/rill-clear.txt"), "--materials", str(studio / "materials"), "--json"
    )
    assert clear.json["estimates_without_colourants"] == []


def test_list_of_materials(capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, "materials")
    assert ran.code == 0
    assert int(ran.out.split()[0]) >= 70
    assert max(map(len, ran.out.splitlines())) <= 100
    listed = run(capsys, "materials", "--json").json["materials"]
    assert {item["basis"] for row in listed for item in row["bench_hazards"]["known"]} <= {"file", "composition"}
    assert all(row["bench_hazards"]["known"][0]["basis"] == "file" for row in listed if row["hazards"])
    assert len(listed) == int(ran.out.split()[0])
    assert all(entry["source"]["title"] for entry in listed)


def test_one_material(capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, "materials", "barium", "carbonate")
    assert ran.code == 0
    for piece in ("BaO 77.7", "loss on ignition 22.30 %", "HAZARDS", "SOURCE", "safety data sheet"):
        assert piece in ran.out
    assert run(capsys, "materials", "barium carbonate", "--json").json["id"] == "barium_carbonate"
    ran = run(capsys, "materials", "iron")
    assert (ran.code, ran.out) == (1, "")
    assert "fits several" in ran.err


@pytest.mark.parametrize("name", ["kaolin_reference_kga_1", "ilmenite_europe", "cmc gum", "cryolite"])
def test_pages_of_odd_materials_fit_the_screen(capsys: pytest.CaptureFixture[str], name: str):
    ran = run(capsys, "materials", name)
    assert ran.code == 0
    assert max(map(len, ran.out.splitlines())) <= 100


def test_a_sheet_of_ones_own_is_all_that_stands_on_standard_output(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    ran = run(capsys, "materials", "--new", "Horsley spar", "--kind", "feldspar")
    assert (ran.code, ran.err) == (0, "")
    path = tmp_path / "horsley_spar.yaml"
    path.write_text(
        ran.out.replace("  SiO2:", "  SiO2: 66")
        .replace("  K2O:", "  K2O: 30")
        .replace("  title: ", "  title: the bag ")
    )
    shown = run(capsys, "materials", "horsley spar", "--materials", str(tmp_path), "--json").json
    assert (shown["id"], shown["kind"], shown["analysis_percent"]) == (
        "horsley_spar",
        "feldspar",
        {"SiO2": 66, "K2O": 30},
    )
    told = run(capsys, "materials", "--new", "Horsley spar", "--json").json
    assert told.keys() == {"id", "name", "kind", "file_name", "sheet", "notices"}
    assert told["file_name"] == path.name


@pytest.mark.parametrize("words", [["--kind", "clay"], ["kaolin", "--new", "Horsley"]])
def test_kind_goes_with_new_and_new_goes_alone(capsys: pytest.CaptureFixture[str], words: list[str]):
    assert run(capsys, "materials", *words).code == 2


@pytest.mark.parametrize("words", [["--new", "???"], ["--new", "Horsley", "--kind", "blue"], ["--new", "x" * 500]])
def test_a_sheet_without_a_name_or_of_no_kind_is_refused(capsys: pytest.CaptureFixture[str], words: list[str]):
    ran = run(capsys, "materials", *words)
    assert ran.code in (1, 2)
    assert ran.out == ""
