"""Running the command line inside the test process, as a shell would."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from typing import Any

import pytest

from glazecalc.cli.main import main

__all__ = ("Ran", "run")


@dataclass(frozen=True)
class Ran:
    """Exit code and streams of one call."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """Standard output as JSON."""
        return json.loads(self.out)


def run(capsys: pytest.CaptureFixture[str], *words: str) -> Ran:
    """Call ``glazecalc WORDS``."""
    before = sys.argv
    sys.argv = ["glazecalc", *words]
    code = 0
    try:
        main()
    except SystemExit as stop:
        code = int(stop.code or 0)
    finally:
        sys.argv = before
    captured = capsys.readouterr()
    return Ran(code, captured.out, captured.err)
