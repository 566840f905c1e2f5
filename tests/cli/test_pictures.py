"""``--plot``: the picture is written with the other files of the call, all or none, and never over one that is there."""

from __future__ import annotations

import sys
from importlib.util import find_spec
from pathlib import Path

import pytest

from tests.cli.run import run

STUDIO = Path(__file__).parents[2] / "notebooks" / "studio"
BLACK, CLEAR, SATIN = (
    str(STUDIO / "recipes" / f"{name}.txt") for name in ("harbour-black", "rill-clear", "chalk-satin")
)
OURS = ("--materials", str(STUDIO / "materials"))
drawn = pytest.mark.skipif(find_spec("matplotlib") is None, reason="pictures need matplotlib")
MAGIC = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF"}  # how the files of each format begin, by its standard


@drawn
@pytest.mark.parametrize(
    ("words", "ending"),
    [
        (("check", BLACK, "--cone", "6"), "png"),
        (("compare", BLACK, CLEAR), "svg"),
        (("blend", BLACK, CLEAR, SATIN, "--side", "3"), "pdf"),
    ],
)
def test_the_pictures_of_a_command_are_written_and_said(
    words: tuple[str, ...], ending: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    file = tmp_path / f"seen.{ending}"
    plain = run(capsys, *words, *OURS)
    ran = run(capsys, *words, *OURS, "--plot", str(file))
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith(plain.out.rstrip("\n"))  # the page stays what it is; a notice comes to its foot
    assert "note: the pictures are in" in ran.out
    assert file.read_bytes().startswith(MAGIC[ending])


@drawn
def test_the_same_call_writes_the_same_bytes(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    files = [tmp_path / name for name in ("one.svg", "two.svg")]
    for file in files:
        run(capsys, "blend", BLACK, CLEAR, "--side", "2", *OURS, "--plot", str(file))
    one, two = (file.read_bytes() for file in files)
    assert one == two


@drawn
def test_plan_and_pictures_are_written_both_or_neither(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    plan, picture = tmp_path / "plan.csv", tmp_path / "plan.png"
    picture.write_bytes(b"mine")
    ran = run(capsys, "blend", BLACK, CLEAR, "--side", "2", *OURS, "--csv", str(plan), "--plot", str(picture))
    assert (ran.code, ran.out) == (1, "")
    assert "exists already" in ran.err
    assert not plan.exists()
    assert picture.read_bytes() == b"mine"


@drawn
def test_no_picture_is_written_over_what_the_call_reads(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    card = tmp_path / "card.png"  # a recipe by an odd name
    card.write_bytes(Path(CLEAR).read_bytes())
    ran = run(capsys, "blend", str(card), BLACK, "--side", "2", *OURS, "--plot", str(card), "--replace")
    assert (ran.code, ran.out) == (1, "")
    assert "read by the same call" in ran.err
    assert card.read_bytes() == Path(CLEAR).read_bytes()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("check", BLACK, "--plot", "seen.gif"), "does not end in .png, .svg or .pdf"),
        (("compare", BLACK, CLEAR, "--replace"), "--replace goes with --plot"),
        (("check", str(STUDIO / "recipes"), "--plot", "seen.png"), "--plot goes with one recipe"),
    ],
)
def test_a_plot_that_says_nothing_is_refused(words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, *words, *OURS)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


def test_without_matplotlib_one_line_names_the_extra(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    ran = run(capsys, "check", BLACK, *OURS, "--plot", str(tmp_path / "seen.png"))
    assert (ran.code, ran.out) == (1, "")
    assert len(ran.err.splitlines()) == 1
    assert 'pip install "glazecalc[plot]"' in ran.err
    assert not list(tmp_path.iterdir())
