"""The user's firings from CSV, ``recipe,body,cone,result[,note]``, and the recipe file that one of them names."""

from __future__ import annotations

from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, Notice, did_you_mean
from glazecalc.files.csv_table import read_table
from glazecalc.files.fields import make
from glazecalc.files.text_file import read_text
from glazecalc.firing import Firing

__all__ = ("find_recipe_file", "read_firings")


def read_firings(path: str | Path) -> tuple[tuple[Firing, ...], tuple[Notice, ...]]:
    """Read firings; no row is dropped.

    Returns
    -------
    firings : tuple of Firing
        In the order of the file.
    notices : tuple of Notice
        What was read with care.

    Raises
    ------
    FileFaultsError
        With every row that cannot be read.
    """
    faults: list[Fault] = []
    columns = ("recipe", "body", "cone", "result")
    table = read_table(read_text(path), faults, what="firings", required=columns, optional=("note",))
    firings = []
    for row in table.rows:
        fields = row.cells | {"result": row.cells["result"].lower()}
        firings.append(make(Firing, faults, row.line, **fields, line=row.line))
    if faults:
        raise FileFaultsError(str(path), faults)
    return tuple(firing for firing in firings if firing is not None), table.notices


def find_recipe_file(name: str, results: str | Path) -> Path:
    """Return the recipe file that a result names: a path beside the results file, with or without its ending.

    Raises
    ------
    FileFaultsError
        If there is none; near names are given.
    """
    folder = Path(results).parent
    stems = (name, name.lower().replace(" ", "-"), name.lower().replace(" ", "_"))
    for base in (folder, folder / "recipes"):
        for stem in stems:
            for ending in ("", ".txt", ".yaml", ".yml", ".csv"):
                path = base / f"{stem}{ending}"
                if path.is_file():
                    return path
    known = [
        p.name
        for base in (folder, folder / "recipes")
        if base.is_dir()
        for p in base.iterdir()
        if p.suffix in (".txt", ".yaml", ".csv")
    ]
    raise FileFaultsError(
        str(results), [Fault(None, f"no recipe file is found for '{name}'.", did_you_mean(name, known))]
    )
