"""What every notebook has and has not: a question answered first, pictures, clean outputs; each is named in the folder's README."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import Any

import nbformat
import pytest

import glazecalc as gc
from tests.notebooks.gallery import FOLDER, GALLERY, README, with_section
from tests.notebooks.outputs import NOTEBOOKS, paths

A_PATH_OF_ONE_MACHINE = re.compile(r"(?<![\w.])/(home|root|Users|tmp|work|opt|mnt|private)/|[A-Z]:\\\\")
LARGEST_PICTURE = 60_000  # bytes of a picture of the gallery


def read(path: Path) -> Any:
    return nbformat.read(path, as_version=4)


def outputs(notebook: Any) -> list[Any]:
    return [output for cell in notebook.cells if cell.cell_type == "code" for output in cell.outputs]


each = pytest.mark.parametrize("path", paths(), ids=lambda path: path.stem)


@each
def test_a_notebook_has_pictures_and_no_error(path: Path):
    found = outputs(read(path))
    assert sum("image/png" in output.get("data", {}) for output in found) >= 2
    assert not [output for output in found if output.output_type == "error" or output.get("name") == "stderr"]


@each
def test_a_notebook_opens_with_its_question_and_the_answer(path: Path):
    first = read(path).cells[0]
    assert first.cell_type == "markdown"
    assert first.source.startswith("# ")
    assert "**The question.**" in first.source
    assert "**The answer.**" in first.source


@each
def test_a_notebook_holds_nothing_of_the_machine_that_ran_it(path: Path):
    notebook = read(path)
    assert set(notebook.metadata) == {"kernelspec", "language_info"}
    assert all(not cell.metadata for cell in notebook.cells)
    words = "".join(str(output.get("text", "")) + str(output.get("data", {}).get("text/plain", "")) for output in outputs(notebook))
    assert not A_PATH_OF_ONE_MACHINE.search(words + "".join(cell.source for cell in notebook.cells))


@each
def test_the_code_is_plain_python_without_private_names(path: Path):
    """No magic of a notebook program; nothing of the package but ``import glazecalc as gc``."""
    for cell in (cell for cell in read(path).cells if cell.cell_type == "code"):
        for node in ast.walk(ast.parse(cell.source)):
            assert not (isinstance(node, ast.ImportFrom) and (node.module or "").startswith("glazecalc."))
            assert not (isinstance(node, ast.Attribute) and re.match(r"_[a-z]", node.attr))


def test_the_readme_names_every_notebook_once():
    named = re.findall(r"\]\(([\w-]+\.ipynb)\)", README.read_text(encoding="utf-8"))
    assert sorted(named) == [path.name for path in paths()]


def test_the_gallery_shows_every_picture_with_its_line():
    """Written anew by ``python -m tests.notebooks.gallery``; look at the pictures before they are committed."""
    text = README.read_text(encoding="utf-8")
    assert text == with_section(text)
    assert sorted(GALLERY) == sorted(gc.plot.__all__)
    assert {path.stem for path in FOLDER.iterdir()} == set(GALLERY)
    for name, shown in GALLERY.items():
        assert (FOLDER / f"{name}.png").stat().st_size < LARGEST_PICTURE
        assert f"gc.plot.{name}(" in shown.line
        assert len(shown.alt.split()) >= 8


@pytest.mark.notebooks
def test_every_line_of_the_gallery_draws():
    from tests.notebooks.gallery import drawn

    assert all(data.startswith(b"\x89PNG") for data in drawn().values())
    assert NOTEBOOKS.is_dir()
