"""The user's firings from CSV, ``recipe,body,cone,result[,note]``, and the recipe file that one of them names."""

from __future__ import annotations

from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, Notice, did_you_mean
from glazecalc.files.csv_table import read_table
from glazecalc.files.text_file import file_fault, read_text
from glazecalc.firing import Firing

__all__ = ("find_recipe_file", "read_firings")


def read_firings(path: str | Path) -> tuple[tuple[Firing, ...], tuple[Notice, ...]]:
    """Read firings; no row is dropped.

    Parameters
    ----------
    path : str or Path
        A CSV file: ``recipe,body,cone,result[,note]``.

    Returns
    -------
    firings : tuple of Firing
        In the order of the file.
    notices : tuple of Notice
        What was read with care.

    Raises
    ------
    FileFaultsError
        With every fault and its line.

    Examples
    --------
    >>> import glazecalc as gc, pathlib, tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = pathlib.Path(folder, "firings.csv")
    ...     _ = path.write_text("recipe,body,cone,result\\nrill-clear,Osier Fold,6,crazed\\n")
    ...     (firing,), notices = gc.read_firings(path)
    >>> firing.recipe, firing.result
    ('rill-clear', 'crazed')
    """
    faults: list[Fault] = []
    notices: list[Notice] = []
    rows = read_table(read_text(path), faults, notices, "firings", ("recipe", "body", "cone", "result"), ("note",))
    made = [row.make(Firing, **row.cells | {"result": row.cells["result"].lower()}, line=row.line) for row in rows]
    if faults:
        raise FileFaultsError(str(path), faults)
    return tuple(firing for firing in made if firing is not None), tuple(notices)


def find_recipe_file(name: str, results: str | Path) -> Path:
    """Return the recipe file that a result names: a path beside the results file, with or without its ending."""
    folders = (Path(results).parent, Path(results).parent / "recipes")
    for folder in folders:
        for stem in (name, name.lower().replace(" ", "-"), name.lower().replace(" ", "_")):
            for ending in ("", ".txt", ".yaml", ".yml", ".csv"):
                path = folder / f"{stem}{ending}"
                if path.is_file():
                    return path
    files = [file for folder in folders if folder.is_dir() for file in folder.iterdir()]
    known = [file.name for file in files if file.suffix in (".txt", ".yaml", ".csv")]
    raise file_fault(results, f"no recipe file is found for '{name}'.", did_you_mean(name, known))
