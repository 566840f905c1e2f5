"""A real server over a copy of the invented studio's folder, as ``glazecalc open`` starts it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import glazecalc as gc

__all__ = ("STUDIO", "Served", "copy_of_the_studio", "served")

STUDIO = Path(__file__).parents[2] / "notebooks" / "studio"
_FIRST_LINE = re.compile(r"(http://127\.0\.0\.1:\d+)/\?token=\S+\n")
_LONGEST_GOODBYE_S = 20


@dataclass(frozen=True)
class Served:
    """A server that runs: its folder, the address that it printed, and its process."""

    folder: Path
    address: str
    process: subprocess.Popen[str]

    @property
    def home(self) -> str:
        """The address without the word."""
        return self.address.partition("/?")[0]

    def card(self, name: str) -> Path:
        return self.folder / "recipes" / name


def copy_of_the_studio(place: Path) -> Path:
    return Path(shutil.copytree(STUDIO, place / "studio"))


@contextmanager
def served(folder: Path) -> Iterator[Served]:
    """Serve a folder until the block ends; the first line that is printed is the address, and a polite request to end is followed."""
    environment = os.environ | {"PYTHONPATH": str(Path(gc.__file__).parent.parent)}
    words = [sys.executable, "-m", "glazecalc", "open", str(folder), "--no-browser"]
    process = subprocess.Popen(words, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert process.stdout is not None
    try:
        line = process.stdout.readline()
        assert _FIRST_LINE.fullmatch(line), line or process.communicate()[1]
        yield Served(folder, line.strip(), process)
    finally:
        process.terminate()
        _, told = process.communicate(timeout=_LONGEST_GOODBYE_S)
    assert (process.returncode, told) == (0, "")
