"""Writing when the world fails: no room, no right to write, a kill in the middle, two at once. The file is the old one or the new one."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import glazecalc as gc
from tests.cli.run import run

OLD, NEW = "kaolin 50\nsilica 50\n", "silica 30\nkaolin 70\n"

# A child process that writes NEW over the file; {before} is what happens first.
WRITER = """
import os, sys, time
import glazecalc as gc
path, recipe = sys.argv[1], gc.Recipe.from_parts("New", {{"silica": 30, "kaolin": 70, **{{f"m{{i}}": 1 for i in range(500)}}}})
{before}
gc.write_recipe(recipe, path)
"""


def writer(path: Path, before: str) -> subprocess.Popen[str]:
    words = [sys.executable, "-c", WRITER.format(before=before), str(path)]
    environment = os.environ | {"PYTHONPATH": str(Path(gc.__file__).parent.parent)}
    return subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    file = tmp_path / "r.txt"
    file.write_text(OLD)
    return file


@pytest.mark.parametrize("step", ["os.fsync", "os.replace"])
def test_a_writer_killed_in_the_middle_leaves_the_old_file_whole(step: str, path: Path):
    waits = f"{step} = lambda *_: (print('writing', flush=True), time.sleep(60))"
    child = writer(path, waits)
    try:
        assert child.stdout is not None
        assert child.stdout.readline() == "writing\n"
    finally:
        child.kill()
        child.communicate()
    assert path.read_text() == OLD
    gc.write_recipe(gc.Recipe.from_parts("", {"silica": 30, "kaolin": 70}), path)
    assert gc.read_recipe(path).amounts() == [30, 70]


def test_a_full_disk_leaves_the_old_file_whole_and_nothing_beside_it(path: Path):
    pytest.importorskip("resource")
    full = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))"
    child = writer(path, full)
    _, told = child.communicate(timeout=60)
    assert child.returncode != 0
    assert "FileFaultsError" in told
    assert "cannot be written" in told
    assert path.read_text() == OLD
    assert [file.name for file in path.parent.iterdir()] == ["r.txt"]


def test_two_writers_at_once_never_mix(path: Path):
    # one writes its recipe 60 times; the other is this process, which reads in between
    again = "\nfor _ in range(60): gc.write_recipe(recipe, path)"
    mine = gc.Recipe.from_parts("Mine", {f"n{i}": 2 for i in range(500)})
    gc.write_recipe(mine, path)
    child = writer(path, again)
    seen = set()
    while child.poll() is None:
        recipe = gc.read_recipe(path)
        seen.add((recipe.name, len(recipe.ingredients)))
        gc.write_recipe(mine, path)
    child.communicate()
    seen.add((gc.read_recipe(path).name, len(gc.read_recipe(path).ingredients)))
    assert seen <= {("Mine", 500), ("New", 502)}
    assert child.returncode == 0


@pytest.fixture
def locked(tmp_path: Path) -> Path:
    """A folder in which nobody may write; root may write anywhere but in what the kernel shows."""
    if os.name != "posix":
        pytest.skip("folders are locked by their mode")
    folder = tmp_path / "locked"
    folder.mkdir(mode=0o555)
    if os.access(folder, os.W_OK):
        folder = Path("/proc")
        if not folder.is_dir():
            pytest.skip("this user may write everywhere")
    return folder


def test_a_folder_that_may_not_be_written_is_told_in_one_line(
    locked: Path, path: Path, capsys: pytest.CaptureFixture[str]
):
    with pytest.raises(gc.FileFaultsError, match="cannot be written"):
        gc.write_recipe(gc.read_recipe(path), locked / "new.txt")
    ran = run(capsys, "scale", str(path), "--base", "300g", "--sheet", str(locked / "sheet.html"))
    assert ran.code == 1
    assert ran.out == ""
    assert f"{locked / 'sheet.html'}: the file cannot be written" in ran.err
