"""``glazecalc compare`` and ``glazecalc materials``."""

from __future__ import annotations

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
