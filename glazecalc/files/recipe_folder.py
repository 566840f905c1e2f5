"""Which files of a folder may be recipes, for all that looks at a whole folder."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from pathlib import Path

from glazecalc.errors import MOST_FAULTS, Fault, FileFaultsError, GlazeError
from glazecalc.files.text_file import file_fault
from glazecalc.recipe_collection import Reject

__all__ = ("ENDINGS", "in_order", "none_read", "recipe_files", "reject_of")

ENDINGS = (".txt", ".yaml", ".yml", ".csv", ".tsv", "")
"""Of the files that are read as recipes."""
_MOST_FILES = 2000  # this program's own choice


def recipe_files(folder: Path) -> tuple[list[Path], list[str]]:
    """Return the files that may be recipes, and the names of what is left aside; ``Blue 2`` stands before ``Blue 10``.

    Folders within the folder and hidden files are not looked into.
    """
    try:
        entries = [entry for entry in os.scandir(folder) if not entry.name.startswith(".")]
    except OSError as error:
        raise file_fault(folder, f"the folder cannot be read: {error.strerror or error}.") from None
    if len(entries) > _MOST_FILES:
        raise file_fault(folder, f"the folder holds more than {_MOST_FILES} files.", "Give one that holds recipes.")
    entries.sort(key=lambda entry: (in_order(entry.name), entry.name))
    recipes = [folder / e.name for e in entries if not e.is_dir() and Path(e.name).suffix.lower() in ENDINGS]
    names = {path.name for path in recipes}
    return recipes, [f"{e.name}/" if e.is_dir() else e.name for e in entries if e.name not in names]


def reject_of(path: Path, error: GlazeError) -> Reject:
    """Return a file with the reasons why it is not read."""
    return Reject(file=path.name, faults=error.faults[:MOST_FAULTS] or (Fault(None, error.message, error.hint),))


def none_read(source: str | Path, what: str, rejects: Iterable[Reject]) -> FileFaultsError:
    """Return the error for a folder or a table, `what`, of which nothing could be read."""
    endings = ", ".join(filter(None, ENDINGS)) if what == "folder" else ""
    hint = f"Recipes end in {endings}." if endings else ""
    reasons = [
        Fault(one.line, f"{one.name or one.file}: {one.faults[0].message}", one.faults[0].hint) for one in rejects
    ]
    return FileFaultsError(str(source), [Fault(None, f"the {what} holds no recipe that can be read.", hint), *reasons])


def in_order(name: str) -> list[tuple[int, int, str]]:
    """Return a key by which names stand as a reader expects: ``Blue 2`` before ``Blue 10``."""
    parts = re.findall(r"\d+|\D+", name.casefold())
    return [(0, int(part), "") if part.isdecimal() and len(part) < 20 else (1, 0, part) for part in parts]
