"""The notebooks' committed outputs: run afresh, compared, and written anew by ``python -m tests.notebooks.outputs``."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import nbformat
from nbclient import NotebookClient

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
_ADDRESS = re.compile(r" at 0x[0-9a-f]+")


def paths() -> list[Path]:
    """Return the notebooks, by name."""
    return sorted(NOTEBOOKS.glob("*.ipynb"))


def executed(path: Path) -> Any:
    """Return the notebook as it comes out when it is run from top to bottom in its own folder; what is not for the reader is left out."""
    notebook = nbformat.read(path, as_version=4)
    folder = {"metadata": {"path": str(path.parent)}}
    NotebookClient(notebook, timeout=300, resources=folder, coalesce_streams=True).execute()  # else a slow cell prints in parts
    for cell in notebook.cells:
        cell.metadata.pop("execution", None)  # when it ran
    notebook.metadata.get("language_info", {}).pop("version", None)  # of Python, which differs from machine to machine
    return notebook


def shown(notebook: Any) -> list[list[tuple[str, str]]]:
    """Return what each code cell shows, as (kind, text); of a picture only that there is one."""
    return [[part for output in cell.outputs for part in _parts(output)] for cell in notebook.cells if cell.cell_type == "code"]


def _parts(output: Any) -> list[tuple[str, str]]:
    if output.output_type == "stream":
        return [(output.name, output.text)]
    if output.output_type == "error":
        return [("error", f"{output.ename}: {output.evalue}")]
    return [
        (kind, "a picture" if kind.startswith("image/") else _ADDRESS.sub("", text))
        for kind, text in sorted(output.data.items())
    ]


def main() -> None:
    """Run every notebook and write its outputs."""
    for path in paths():
        nbformat.write(executed(path), path)
        print(path.name)


if __name__ == "__main__":
    main()
