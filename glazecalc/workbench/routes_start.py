"""The first page of an empty folder: begin with the invented studio's files, or with none."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources.abc import Traversable
from pathlib import Path

from glazecalc.errors import FileFaultsError
from glazecalc.files.shipped import studio_folder
from glazecalc.files.text_file import file_fault, write_all
from glazecalc.workbench import pages
from glazecalc.workbench.app import Asked
from glazecalc.workbench.bench import Bench, faults_of

__all__ = ("ROUTES",)

_FIRST_CARD = """First glaze   cone 6 ox
# a card to begin with: change it, or write over it
Potash feldspar   40
Whiting           18
Kaolin            12
Silica            30
"""


def start(bench: Bench, asked: Asked) -> pages.Response:
    """Show what an empty folder may begin with, and make it."""
    if not bench.studio.is_empty():
        return pages.go_to("/")
    if asked.method != "POST":
        return pages.page("start.html", studio=bench.studio.name, told=())
    begin = asked.form.get("with", "")
    texts = _invented() if begin == "studio" else {"recipes/first-glaze.txt": _FIRST_CARD} if begin == "blank" else {}
    try:
        _write(bench, texts)
    except FileFaultsError as error:
        return pages.page("start.html", 409, studio=bench.studio.name, told=faults_of(error))
    return pages.go_to("/")


def _write(bench: Bench, texts: dict[str, str]) -> None:
    root = bench.studio.root
    if not root.is_dir():
        raise file_fault(bench.studio.name, "the folder is gone: it was moved, renamed or deleted.", "Put it back.")
    for place in texts:
        folder = (root / place).parent
        if not bench.studio.inside(folder):
            raise file_fault(folder.name, "it leads out of the studio's folder: nothing is written there.")
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise file_fault(folder.name, f"the folder cannot be made: {error.strerror or error}.") from None
    try:
        write_all([(root / place, text) for place, text in texts.items()])
    except FileFaultsError as error:
        raise FileFaultsError(Path(error.path).name, error.faults) from None


def _invented() -> dict[str, str]:
    """Return the files of the invented studio, place -> text."""
    return dict(_files(studio_folder(), ""))


def _files(folder: Traversable, place: str) -> Iterator[tuple[str, str]]:
    for item in folder.iterdir():
        if item.name.startswith("."):
            continue
        if item.is_dir():
            yield from _files(item, f"{place}{item.name}/")
        else:
            yield f"{place}{item.name}", item.read_text(encoding="utf-8")


ROUTES = ((("GET", "POST"), "/start", start),)
