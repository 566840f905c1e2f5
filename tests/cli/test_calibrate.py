"""``glazecalc calibrate`` on the invented studio's recipes."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from glazecalc.plain_text import span_text
from tests.cli.run import run


@pytest.fixture
def firings(tmp_path: Path, studio: Path) -> Path:
    shutil.copytree(studio / "recipes", tmp_path / "recipes")
    path = tmp_path / "firings.csv"
    path.write_text(
        "recipe,body,cone,result,note\nchalk-satin,Osier Fold,6,shivered,rims\nRill Clear,Osier Fold,6,sound,\nharbour-black,Osier Fold,6,sound,freezer test\n"
        "lichen-crawl,Osier Fold,6,crazed,\nweir-celadon,Moor White,10,sound,\n"
    )
    return path


def test_ranges_for_one_body(capsys: pytest.CaptureFixture[str], firings: Path, studio: Path):
    words = [
        "calibrate",
        str(firings),
        "--body-name",
        "Osier Fold",
        "--materials",
        str(studio / "materials"),
        "--place",
        str(studio / "recipes/weir-celadon.txt"),
    ]
    ran = run(capsys, *words, "--json")
    assert ran.code == 0, ran.err
    page = ran.json
    assert page["shivered_up_to"] < page["good"][0] < page["good"][1] < page["crazed_from"]
    assert page["placed"][0]["place"] == "inside what came out sound"
    assert "left aside" in " ".join(ran.out.split())
    shown = run(capsys, *words).out
    assert max(map(len, shown.splitlines())) <= 100
    assert "safe" not in shown


def test_several_bodies_need_a_choice(capsys: pytest.CaptureFixture[str], firings: Path):
    ran = run(capsys, "calibrate", str(firings))
    assert (ran.code, ran.out) == (2, "")
    assert "Moor White, Osier Fold" in ran.err


def test_broken_results(capsys: pytest.CaptureFixture[str], firings: Path):
    firings.write_text("recipe,body,cone,result\nrill-clear,Slate,6,cracked\nno-such,Slate,6,sound\n")
    ran = run(capsys, "calibrate", str(firings))
    assert (ran.code, ran.out) == (1, "")
    assert f"{firings}:2:" in ran.err
    firings.write_text("recipe,body,cone,result\nril-clear,Slate,6,sound\n")
    ran = run(capsys, "calibrate", str(firings))
    assert ran.code == 1
    assert "rill-clear" in ran.err


def test_cones_are_kept_apart(capsys: pytest.CaptureFixture[str], firings: Path, studio: Path):
    words = ["calibrate", str(firings), "--body-name", "osier fold", "--materials", str(studio / "materials")]
    firings.write_text(firings.read_text() + "weir-celadon,Osier Fold,06,crazed,\n")
    ran = run(capsys, *words)
    assert (ran.code, ran.out) == (1, "")
    assert "several cones: 06, 6" in ran.err
    ran = run(capsys, *words, "--cone", "6", "--json")
    assert len(ran.json["results"]) == 4
    assert "at other cones are left aside" in " ".join(ran.out.split())
    assert "no result is at cone 10" in run(capsys, *words, "--cone", "10").err
    assert run(capsys, *words, "--cone", "77").code == 1
    firings.write_text(firings.read_text().replace(",06,", ",66,"))
    assert f"{firings}:7: 'cone': no cone is called '66'" in run(capsys, *words).err


def test_a_column_given_twice_is_refused(capsys: pytest.CaptureFixture[str], firings: Path):
    text = firings.read_text()
    for twice in ("result", "Result", "cone", " BODY ", "note"):
        firings.write_text(text.replace(",note\n", f",note,{twice}\n", 1))
        assert "is there twice" in run(capsys, "calibrate", str(firings)).err


def test_a_range_whose_ends_print_alike_is_one_number(capsys, firings, studio):
    firings.write_text("recipe,body,cone,result\nrill-clear,Osier Fold,6,sound\n")
    ran = run(capsys, "calibrate", str(firings), "--materials", str(studio / "materials"))
    assert ran.code == 0
    found = next(line for line in ran.out.splitlines() if line.strip().startswith("sound   "))
    assert len(found.split()) == 2
    assert span_text(5.88, 5.93) == "5.9"
    assert span_text(5.88, 5.96) == "5.9 to 6.0"
