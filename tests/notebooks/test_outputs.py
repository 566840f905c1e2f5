"""A reader of the notebooks sees what the program prints today."""

from __future__ import annotations

from importlib.util import find_spec

import nbformat
import pytest

from tests.notebooks.outputs import executed, paths, shown

pytestmark = pytest.mark.notebooks


def test_there_are_notebooks():
    assert len(paths()) >= 3


@pytest.mark.parametrize("path", paths(), ids=lambda path: path.stem)
def test_the_committed_outputs_are_those_of_a_fresh_run(path):
    """Written anew by ``python -m tests.notebooks.outputs``; read them before they are committed."""
    notebook = nbformat.read(path, as_version=4)
    if any("import dask" in cell.source for cell in notebook.cells) and not find_spec("distributed"):
        pytest.skip("dask is not installed: pip install 'glazecalc[scale]'")
    committed = shown(notebook)
    assert any(committed), "a notebook is committed with its outputs"
    assert shown(executed(path)) == committed
