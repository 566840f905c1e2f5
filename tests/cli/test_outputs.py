"""Every output goes through one door: no option destroys a file, and all outputs of a call are written, or none."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

import glazecalc as gc
from glazecalc.files import text_file
from glazecalc.files.text_file import write_all
from tests.cli.run import run

RECIPE = "Clear\npotash feldspar 40\nwhiting 20\nsilica 30\nkaolin 10\n"
MATERIAL = "name: Quay clay\nanalysis: {SiO2: 60, Al2O3: 25}\nloi_percent: 10\nsource: {title: invented}\n"
WRITERS = {  # what each command writes, and the call without its outputs
    "--sheet": ("scale", "mine.txt", "--base", "300g"),
    "--label": ("scale", "mine.txt", "--base", "300g"),
    "--csv": ("blend", "mine.txt", "other.txt"),
}


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A studio's folder, in which the call is made."""
    monkeypatch.chdir(tmp_path)
    for name in ("mine.txt", "other.txt"):
        (tmp_path / name).write_text(RECIPE)
    (tmp_path / "clays").mkdir()
    (tmp_path / "clays" / "quay.yaml").write_text(MATERIAL)
    return tmp_path


def told(folder: Path) -> dict[str, str]:
    """What stands in the folder, links and nodes as such."""
    return {
        path.name: path.read_text() if path.is_file() else oct(path.lstat().st_mode)
        for path in sorted(folder.iterdir())
    }


@pytest.mark.parametrize("replace", [(), ("--replace",)])
@pytest.mark.parametrize("way", ["itself", "dotted", "absolute", "symlink", "hardlink", "material"])
@pytest.mark.parametrize("option", WRITERS)
def test_what_a_call_reads_is_never_written_over(
    option: str, way: str, replace: tuple[str, ...], folder: Path, capsys: pytest.CaptureFixture[str]
):
    target = folder / "link.txt"
    if way == "symlink":
        target.symlink_to(folder / "mine.txt")
    elif way == "hardlink":
        os.link(folder / "mine.txt", target)
    elif way == "material":
        target.symlink_to(folder / "clays" / "quay.yaml")
    name = {"itself": "mine.txt", "dotted": "clays/../mine.txt", "absolute": str(folder / "mine.txt")}.get(
        way, "link.txt"
    )
    before = told(folder)
    ran = run(capsys, *WRITERS[option], "--materials", "clays", option, name, *replace)
    assert (ran.code, ran.out) == (1, "")
    assert "is read by the same call" in ran.err
    assert told(folder) == before


@pytest.mark.parametrize("option", WRITERS)
def test_an_existing_file_is_written_over_with_replace_only(
    option: str, folder: Path, capsys: pytest.CaptureFixture[str]
):
    (folder / "plan.txt").write_text("mine")
    before = told(folder)
    ran = run(capsys, *WRITERS[option], option, "plan.txt")
    assert (ran.code, ran.out) == (1, "")
    assert "--replace" in ran.err
    assert told(folder) == before
    assert run(capsys, *WRITERS[option], option, "plan.txt", "--replace").code == 0
    assert "Clear" in (folder / "plan.txt").read_text() or "CLEAR" in (folder / "plan.txt").read_text()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names here")
@pytest.mark.parametrize("node", ["pipe.txt", "folder.txt", "device.txt"])
@pytest.mark.parametrize("option", WRITERS)
def test_only_a_regular_file_is_written_over(option: str, node: str, folder: Path, capsys: pytest.CaptureFixture[str]):
    os.mkfifo(folder / "pipe.txt")
    (folder / "folder.txt").mkdir()
    (folder / "device.txt").symlink_to("/dev/null")
    before = told(folder)
    ran = run(capsys, *WRITERS[option], option, node, "--replace")
    assert (ran.code, ran.out) == (1, "")
    assert "not a file" in ran.err
    assert told(folder) == before


@pytest.mark.parametrize("label", ["a.txt", "clays/../a.txt", "dangling.txt"])
@pytest.mark.parametrize("replace", [(), ("--replace",)])
def test_two_outputs_never_share_a_file(
    label: str, replace: tuple[str, ...], folder: Path, capsys: pytest.CaptureFixture[str]
):
    (folder / "dangling.txt").symlink_to("a.txt")
    ran = run(capsys, *WRITERS["--sheet"], "--sheet", "a.txt", "--label", label, *replace)
    assert (ran.code, ran.out) == (1, "")
    assert "two outputs" in ran.err
    assert not (folder / "a.txt").exists()


def test_all_outputs_are_written_or_none(folder: Path, capsys: pytest.CaptureFixture[str]):
    before = told(folder)
    for bad in ("none/l.txt", f"{'l' * 300}.txt", "mine.txt"):
        ran = run(capsys, *WRITERS["--sheet"], "--sheet", "s.txt", "--label", bad, "--replace")
        assert (ran.code, ran.out) == (1, "")
        assert told(folder) == before
    assert run(capsys, *WRITERS["--sheet"], "--sheet", "s.txt", "--label", "l.html").code == 0
    assert (folder / "s.txt").exists()
    assert (folder / "l.html").exists()


@pytest.mark.parametrize("fails_at", [1, 2, 3])
def test_a_move_that_fails_brings_back_what_was_moved(fails_at: int, folder: Path, monkeypatch: pytest.MonkeyPatch):
    (folder / "old.txt").write_text("old")
    before, move, moves = told(folder), os.replace, []

    def failing(source: str, target: str) -> None:
        moves.append(target)
        if len(moves) == fails_at:
            raise OSError(28, "No space left on device")
        move(source, target)

    monkeypatch.setattr(text_file.os, "replace", failing)
    with pytest.raises(gc.FileFaultsError, match="No space left on device"):
        write_all([("new.txt", "1"), ("old.txt", "2"), ("newer.txt", "3")], replace=True)
    assert told(folder) == before


@pytest.mark.parametrize("links", [True, False])
def test_a_file_that_comes_meanwhile_is_not_written_over(links: bool, folder: Path, monkeypatch: pytest.MonkeyPatch):
    sync = os.fsync

    def another_comes(descriptor: int) -> None:
        sync(descriptor)
        if links:
            (folder / "new.txt").write_text("another's")

    def no_links(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(text_file.os, "fsync", another_comes)
    if links:
        with pytest.raises(gc.FileFaultsError, match="exists"):
            write_all([("new.txt", "mine")])
        assert (folder / "new.txt").read_text() == "another's"
    else:
        monkeypatch.setattr(text_file.os, "link", no_links)
        write_all([("new.txt", "mine")])
        assert (folder / "new.txt").read_text() == "mine"
    assert sorted(path.name for path in folder.iterdir()) == ["clays", "mine.txt", "new.txt", "other.txt"]


def test_text_that_is_no_utf_8_is_told(folder: Path, capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, *WRITERS["--sheet"], "--sheet", "s.txt", "--date", "\udcff")
    assert (ran.code, ran.out) == (1, "")
    assert "cannot be written" in ran.err


@pytest.mark.parametrize("option", ["--replace", "--date=May", "--batch-no=7"])
def test_what_is_said_for_no_output_is_refused(option: str, capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, *WRITERS["--sheet"], option)
    assert (ran.code, ran.out) == (2, "")
    assert "--sheet" in ran.err
