"""What a type checker sees of the public names: mypy --strict, and pyright where it is installed."""

from __future__ import annotations

import importlib.util
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.types

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
CHECKERS = {
    "mypy": [sys.executable, "-m", "mypy", "--strict", "--config-file=", "--no-error-summary"],
    "pyright": [sys.executable, "-m", "pyright", "--pythonpath", sys.executable],
}


def checked(checker: str, *scripts: Path) -> subprocess.CompletedProcess[str]:
    """Return what a checker prints of scripts."""
    if importlib.util.find_spec(checker) is None:
        pytest.skip(f"{checker} is not installed: pip install {checker}")
    return subprocess.run([*CHECKERS[checker], *map(str, scripts)], cwd=ROOT, capture_output=True, text=True)


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


@pytest.mark.parametrize("checker", CHECKERS)
def test_the_code_of_the_notebooks_is_right(checker, tmp_path):
    scripts = []
    for path in sorted((ROOT / "notebooks").glob("*.ipynb")):
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        script = tmp_path / f"{path.stem.replace('-', '_')}.py"
        script.write_text(
            "\n\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"), encoding="utf-8"
        )
        scripts.append(script)
    ran = checked(checker, *scripts)
    assert ran.returncode == 0, ran.stdout + ran.stderr
