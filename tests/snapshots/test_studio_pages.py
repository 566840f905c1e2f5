"""The check of each studio recipe, as a person has read it.

A page that changes on purpose is written anew by ``python -m tests.snapshots.test_studio_pages`` and read again before
it is committed. What to look for stands beside each name.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.run import run

ROOT = Path(__file__).parents[2]
HERE = Path(__file__).parent
STUDIO = Path("notebooks") / "studio"
READ = {
    "harbour-black": "gloss range at cone 6 with boron 0.4; iron outside the tested range; cobalt at the bench",
    "lichen-crawl": "low silica, much magnesia: a dry matt that crawls; light magnesium carbonate named; not for food",
    "rill-clear": "the clear liner: silica near 4, boron 0.5, nothing but dust and the frit's solubility",
    "chalk-satin": "magnesia and zircon, ratio below 7: satin by most conventions",
    "weir-celadon": "lime and potash, no boron, cone 10; 1.4 % iron; inside the tested range",
}


def words_for(name: str) -> list[str]:
    """Return the command of one page."""
    return ["check", str(STUDIO / "recipes" / f"{name}.txt"), "--materials", str(STUDIO / "materials")]


@pytest.mark.parametrize("name", READ)
def test_page_is_the_one_that_was_read(name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(ROOT)
    ran = run(capsys, *words_for(name))
    assert ran.code == 0
    assert ran.out == (HERE / f"{name}.txt").read_text(encoding="utf-8")


def test_every_studio_recipe_has_a_page():
    assert {path.stem for path in (ROOT / STUDIO / "recipes").glob("*.txt")} == set(READ)


if __name__ == "__main__":
    os.chdir(ROOT)
    for page in READ:
        done = subprocess.run(
            [sys.executable, "-m", "glazecalc", *words_for(page)], capture_output=True, text=True, check=True
        )
        (HERE / f"{page}.txt").write_text(done.stdout, encoding="utf-8")
