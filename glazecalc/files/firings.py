"""The user's firing results as CSV: ``recipe,body,cone,result[,note]``."""

from __future__ import annotations

from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, did_you_mean
from glazecalc.files.csv_table import read_rows
from glazecalc.files.text_file import read_text
from glazecalc.firing import RESULTS, Firing

__all__ = ("find_recipe_file", "read_firings")

_COLUMNS = ("recipe", "body", "cone", "result", "note")


def read_firings(path: str | Path) -> tuple[Firing, ...]:
    """Read firing results; no row is dropped.

    Raises
    ------
    FileFaultsError
        With every row that cannot be read.
    """
    numbered, _ = read_rows(read_text(path), str(path))
    if len(numbered) < 2:
        raise FileFaultsError(
            str(path),
            [Fault(None, "the file holds no results.", "Start with 'recipe,body,cone,result', then one firing a row.")],
        )
    first, columns = numbered[0][0], [cell.lower() for cell in numbered[0][1]]
    faults = [
        Fault(first, f"'{c}' is not a column of results.", f"Known: {', '.join(_COLUMNS)}.")
        for c in columns
        if c not in _COLUMNS
    ]
    faults += [Fault(first, f"the column '{c}' is missing.") for c in _COLUMNS[:4] if c not in columns]
    if faults:
        raise FileFaultsError(str(path), faults)
    found = []
    for line, row in numbered[1:]:
        if len(row) > len(columns):
            faults.append(
                Fault(
                    line,
                    f"the row has {len(row)} fields, the header {len(columns)}.",
                    "Quote a note that holds a comma.",
                )
            )
            continue
        cells = dict(zip(columns, row, strict=False))
        result = cells.get("result", "").lower()
        if result not in RESULTS:
            hint = did_you_mean(result, RESULTS) or f"Known: {', '.join(RESULTS)}."
            faults.append(Fault(line, f"the result '{result}' is not known.", hint))
        faults.extend(Fault(line, f"the row has no {need}.") for need in ("recipe", "body") if not cells.get(need))
        found.append(
            Firing(
                cells.get("recipe", ""),
                cells.get("body", ""),
                cells.get("cone", ""),
                result,
                cells.get("note", ""),
                line,
            )
        )
    if faults:
        raise FileFaultsError(str(path), faults)
    return tuple(found)


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
