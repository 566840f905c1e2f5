"""The user's firings from CSV, ``recipe,body,cone,result[,note]``, and the recipe file that one of them names."""

from __future__ import annotations

from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, Notice, did_you_mean
from glazecalc.files.csv_table import read_table
from glazecalc.files.text_file import read_text
from glazecalc.firing import RESULTS, Firing

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
    for row in table.rows:
        faults.extend(Fault(row.line, f"the row has no {need}.") for need in ("recipe", "body") if not row.cells[need])
        result = row.cells["result"].lower()
        if result not in RESULTS:
            hint = did_you_mean(result, RESULTS) or f"Known: {', '.join(RESULTS)}."
            faults.append(Fault(row.line, f"the result '{result[:40]}' is not known.", hint))
    if faults:
        raise FileFaultsError(str(path), faults)
    firings = [
        Firing(
            recipe=row.cells["recipe"],
            body=row.cells["body"],
            cone=row.cells["cone"],
            result=row.cells["result"].lower(),
            note=row.cells.get("note", ""),
            line=row.line,
        )
        for row in table.rows
    ]
    return tuple(firings), table.notices


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
