"""What a type checker sees of the public names: mypy --strict, and pyright where it is installed."""

from __future__ import annotations

import importlib.util
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


def lines_with_errors(checker: str, script: str) -> set[int]:
    """Return the lines of a script in which a checker finds an error."""
    if importlib.util.find_spec(checker) is None:
        pytest.skip(f"{checker} is not installed: pip install {checker}")
    ran = subprocess.run([*CHECKERS[checker], str(HERE / script)], cwd=ROOT, capture_output=True, text=True)
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
