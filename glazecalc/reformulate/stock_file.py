"""A shelf list: the names of the materials at hand, one a line."""

from __future__ import annotations

from pathlib import Path

from glazecalc.errors import AmbiguousNameError, Fault, FileFaultsError, UnknownNameError
from glazecalc.files.text_file import read_text
from glazecalc.library import MaterialLibrary

__all__ = ("read_stock",)


def read_stock(path: str | Path, library: MaterialLibrary) -> tuple[str, ...]:
    """Return the ids of the materials that a shelf list names; ``#`` starts a comment.

    Raises
    ------
    FileFaultsError
        With every name that is unknown or fits several materials, and for an empty list.
    """
    ids: list[str] = []
    faults: list[Fault] = []
    for number, line in enumerate(read_text(path).lstrip("\ufeff").splitlines(), start=1):
        name = line.split("#", 1)[0].strip()
        if not name:
            continue
        try:
            ids.append(library.find(name)[0].id)
        except (UnknownNameError, AmbiguousNameError) as error:
            faults.append(Fault(number, error.message, error.hint))
    if not ids and not faults:
        faults.append(Fault(None, "the list names no material.", "Write one name a line."))
    if faults:
        raise FileFaultsError(str(path), faults)
    return tuple(dict.fromkeys(ids))
