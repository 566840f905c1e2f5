"""A workbench over a folder of its own, asked in process."""

from __future__ import annotations

import html
import re
import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

pytest.importorskip("starlette", reason="the workbench needs starlette: pip install 'glazecalc[web]'")
pytest.importorskip("uvicorn", reason="the workbench needs uvicorn: pip install 'glazecalc[web]'")

from glazecalc.workbench.app import workbench
from glazecalc.workbench.bench import Bench
from glazecalc.workbench.folder import Studio
from glazecalc.workbench.guard import Passes
from tests.workbench.client import Answer, Client

PORT = 5150
HOME = f"http://127.0.0.1:{PORT}"
STUDIO = Path(__file__).parents[2] / "notebooks" / "studio"

__all__ = ("HOME", "PORT", "STUDIO", "Workbench", "copy_of_the_studio", "opened", "shown")


class Workbench:
    """A browser window that has been let in: GET, and POST with the origin that a form of ours has."""

    def __init__(self, folder: Path, client: Client, passes: Passes) -> None:
        self.folder, self.client, self.passes = folder, client, passes

    def get(self, path: str, headers: Mapping[str, str] | None = None) -> Answer:
        return self.client.send("GET", path, headers=headers or {})

    def post(self, path: str, **form: str) -> Answer:
        return self.client.send("POST", path, form=form, headers={"origin": HOME})

    def seen(self, path: str) -> str:
        """The digest that the page of a card holds."""
        return re.search(r'name="seen" value="(\w+)"', self.get(path).text)[1]  # type: ignore[index]

    def card(self, name: str) -> Path:
        return self.folder / "recipes" / name


def copy_of_the_studio(place: Path) -> Path:
    return Path(shutil.copytree(STUDIO, place / "studio"))


def opened(folder: Path, *, let_in: bool = True) -> Workbench:
    """Open a workbench on a folder; a second call is another server on it."""
    passes = Passes(PORT)
    bench = Workbench(folder, Client(workbench(Bench(Studio.at(folder)), passes), f"127.0.0.1:{PORT}"), passes)
    if let_in:
        assert bench.get(f"/?token={passes.word}").status == 303
    return bench


def shown(page: str) -> str:
    """The words of a page."""
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", page)).split())
