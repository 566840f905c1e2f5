"""Every page that ``--html`` writes, made once."""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Iterator
from pathlib import Path

from glazecalc.cli.main import main
from tests.show.test_html_pages import CALLED, STUDIO

__all__ = ("PAGES", "written")

PAGES = tuple(CALLED)


def written(name: str, folder: Path) -> Path:
    """Write the page of one call of `CALLED` into a folder, and return where it is."""
    words = [word.replace("STUDIO", str(STUDIO)) for word in CALLED[name]]
    mine = ["--materials", str(STUDIO / "materials")] if any("STUDIO" in word for word in CALLED[name]) else []
    place = folder / f"{name.replace(' ', '-')}.html"
    with _called(folder, words + mine + ["--html", str(place)]):
        main()
    return place


@contextlib.contextmanager
def _called(folder: Path, words: list[str]) -> Iterator[None]:
    (folder / "firings.csv").write_text("recipe,body,cone,result\nford-clear.txt,Slate,6,crazed\n")
    (folder / "ford-clear.txt").write_text("Ford Clear\npotash feldspar 40\nwhiting 20\nsilica 30\nkaolin 10\n")
    before, at = sys.argv, Path.cwd()
    sys.argv = ["glazecalc", *words]
    os.chdir(folder)
    told = io.StringIO()
    try:
        with contextlib.redirect_stdout(told), contextlib.redirect_stderr(told):
            yield
    except SystemExit as stop:
        if stop.code:
            raise RuntimeError(told.getvalue()) from None
    finally:
        sys.argv = before
        os.chdir(at)
