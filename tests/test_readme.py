"""What the README shows is what the program prints."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from tests.cli.run import run

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_page_shown_is_what_the_command_prints(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(ROOT)
    command, shown = re.findall(r"<!-- output of: glazecalc (.*?) -->\n\n```text\n(.*?)```", README, re.DOTALL)[0]
    ran = run(capsys, *shlex.split(command))
    assert ran.code == 0
    assert ran.out == shown


def test_the_python_example_runs(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(ROOT)
    (code,) = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
    exec(compile(code, "README.md", "exec"), {})
    assert capsys.readouterr().out.startswith("3.58")


def test_the_readme_opens_with_the_job_and_promises_nothing():
    first = README.split("\n\n")[1]
    assert first.startswith("A studio potter")
    assert len(first) > 400
    assert not re.search(r"food[- ]safe", README, re.IGNORECASE)


def test_every_command_is_listed_and_no_other():
    from glazecalc.cli.verbs import VERBS

    listed = re.findall(r"^\| `(\w+)[^`]*` \|", README, re.MULTILINE)
    assert sorted(listed) == sorted(VERBS)
