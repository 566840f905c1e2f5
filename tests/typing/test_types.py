"""What a type checker sees of the public names: mypy --strict, and pyright where it is installed."""

from __future__ import annotations

import importlib.util
import json
import re
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

pytestmark = pytest.mark.types

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
CHECKERS = {
    "mypy": [sys.executable, "-m", "mypy", "--strict", "--config-file=", "--no-error-summary"],
    "pyright": [sys.executable, "-m", "pyright", "--pythonpath", sys.executable],
}


def checked(checker: str, *scripts: Path, also: Sequence[str] = ()) -> subprocess.CompletedProcess[str]:
    """Return what a checker prints of scripts."""
    if importlib.util.find_spec(checker) is None:
        pytest.skip(f"{checker} is not installed: pip install {checker}")
    return subprocess.run([*CHECKERS[checker], *also, *map(str, scripts)], cwd=ROOT, capture_output=True, text=True)


def lines_with_errors(checker: str, script: str) -> set[int]:
    """Return the lines of a script in which a checker finds an error."""
    ran = checked(checker, HERE / script)
    found = re.findall(rf"{script}:(\d+)(?::\d+)?(?: - |: )error", ran.stdout)
    assert found or ran.returncode == 0, ran.stdout + ran.stderr
    return {int(line) for line in found}


@pytest.mark.parametrize("checker", CHECKERS)
def test_a_right_script_is_right(checker):
    assert lines_with_errors(checker, "right.py") == set()


@pytest.mark.parametrize("checker", CHECKERS)
def test_every_slip_is_found_and_nothing_else(checker):
    marked = {n for n, line in enumerate((HERE / "wrong.py").read_text().splitlines(), start=1) if "# wrong" in line}
    assert lines_with_errors(checker, "wrong.py") == marked


def code_of(notebook: Path) -> str:
    """Return the code of a notebook as one script; what dask does not type is not asked of it."""
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    code = "\n\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "code")
    return (
        f"# pyright: reportPrivateImportUsage=false, reportArgumentType=false\n{code}"
        if "import dask" in code
        else code
    )


@pytest.mark.parametrize("checker", CHECKERS)
def test_the_code_of_the_notebooks_is_right(checker, tmp_path):
    typed, with_dask = [], []
    for path in sorted((ROOT / "notebooks").glob("*.ipynb")):
        script, code = tmp_path / f"{path.stem.replace('-', '_')}.py", code_of(path)
        script.write_text(code, encoding="utf-8")
        (with_dask if "import dask" in code else typed).append(script)
    for scripts, eased in ((typed, []), (with_dask, ["--allow-untyped-calls", "--implicit-reexport"])):
        if scripts:
            ran = checked(checker, *scripts, also=eased if checker == "mypy" else [])
            assert ran.returncode == 0, ran.stdout + ran.stderr
